import { IonbookError } from "../../errors.js";
import { median } from "../../numeric/robust.js";
import { type SuspiciousLevel, suspiciousLevel } from "../curve/suspicious-levels.js";
import { levelsOf } from "../response/levels.js";
import { weightedFit } from "../response/weighted-fit.js";
import type { RangeReading, ResolvedCriteria } from "./range-types.js";

/** Curvature needs a few levels to be seen. */
export const FEWEST_LEVELS = 4;

/** One level with what was found at it. */
export interface StudiedLevel {
  readonly concentration: number;
  readonly members: readonly number[];
  readonly responseFactor: number;
  readonly deviationPercent: number;
  readonly scatterPercent: number | undefined;
  readonly retentionShiftPercent: number | undefined;
  readonly tailingChangePercent: number | undefined;
  readonly widthChangePercent: number | undefined;
  readonly reasons: string[];
}

/** A run of levels read against its middle ones. */
export interface RangeStudy {
  readonly points: readonly RangeReading[];
  readonly levels: readonly StudiedLevel[];
  /** Levels left out at each end before the middle ones begin. */
  readonly skip: number;
  readonly reference: { readonly responseFactor: number; readonly intercept: number };
}

/**
 * Levels above zero, their response factors (ȳ − b₀)/x against the median of the middle ones, and the figures of their
 * peaks against theirs.
 * @throws IonbookError "too-few-levels", "falling-line"
 */
export function readStudy(points: readonly RangeReading[], criteria: ResolvedCriteria): RangeStudy {
  const all = levelsOf(points);
  const blank = all[0].concentration === 0 ? all[0] : undefined;
  const levels = blank ? all.slice(1) : all;
  if (levels.length < FEWEST_LEVELS) {
    throw new IonbookError(
      "too-few-levels",
      `A range study needs at least ${FEWEST_LEVELS} levels above zero (better 7 to 9), there are ${levels.length}`,
    );
  }
  const skip = Math.floor(levels.length / 4);
  const middle = levels.slice(skip, levels.length - skip);
  const response = (members: readonly number[]) => mean(members.map((i) => points[i].response));
  // A level entered wrongly would carry the whole weight of the low end.
  const slip = suspiciousLevel(points, criteria.ion);
  const lower = levels
    .slice(0, levels.length - skip)
    .filter(({ concentration }) => concentration !== slip?.concentration);
  const intercept = blank
    ? response(blank.members)
    : interceptOf(
        points,
        lower.flatMap(({ members }) => members),
      );
  const factor = (level: (typeof levels)[number]) =>
    (response(level.members) - intercept) / level.concentration;
  const reference = median(middle.map(factor));
  if (!(reference > 0)) {
    throw new IonbookError(
      "falling-line",
      `The response does not rise with the concentration (response factor ${reference.toPrecision(4)}): ` +
        "look for swapped standards or a wrong peak",
    );
  }
  const change = changesAgainst(
    points,
    middle.map(({ members }) => members),
  );
  const studied = levels.map((level): StudiedLevel => {
    const responseFactor = factor(level);
    return {
      concentration: level.concentration,
      members: level.members,
      responseFactor,
      deviationPercent: 100 * (responseFactor / reference - 1),
      scatterPercent: scatter(level.members.map((i) => points[i].response)),
      retentionShiftPercent: change(level.members, "retentionTime"),
      tailingChangePercent: change(level.members, "tailing"),
      widthChangePercent: change(level.members, "widthHalf"),
      reasons: [],
    };
  });
  const study = { points, levels: studied, skip, reference: { responseFactor: reference, intercept } };
  judgeLevels(study, criteria, slip);
  return study;
}

type PeakFigure = "retentionTime" | "tailing" | "widthHalf";

/** How much a figure differs from its median over the middle levels, %. */
function changesAgainst(points: readonly RangeReading[], middle: readonly (readonly number[])[]) {
  const of = (members: readonly number[], figure: PeakFigure) => {
    const known = members.flatMap((i) => points[i][figure] ?? []);
    return known.length === 0 ? undefined : mean(known);
  };
  return (members: readonly number[], figure: PeakFigure): number | undefined => {
    const usual = middle.flatMap((each) => of(each, figure) ?? []);
    const own = of(members, figure);
    return own === undefined || usual.length === 0 ? undefined : 100 * (own / median(usual) - 1);
  };
}

/** Writes into each level what speaks against it by itself. */
function judgeLevels(
  { levels, skip }: RangeStudy,
  criteria: ResolvedCriteria,
  slip: SuspiciousLevel | undefined,
): void {
  levels.forEach((level, j) => {
    const { concentration, deviationPercent, reasons } = level;
    const above = j >= levels.length - skip;
    const overloaded = overloadSigns(level, criteria, above);
    if (Math.abs(deviationPercent) > criteria.responseFactorPercent) {
      const why =
        above && deviationPercent < 0 && overloaded.length === 0
          ? "; the peak shows no overload of the column, so the detector or the chemistry bends"
          : "";
      const named =
        slip?.concentration === concentration && slip.slip !== undefined ? `; looks like ${slip.slip}` : "";
      reasons.push(
        `response factor ${signed(deviationPercent)} % from the middle levels (limit ${criteria.responseFactorPercent} %)${named || (asked(level) ? why : "")}`,
      );
    }
    reasons.push(...overloaded);
    const { quantificationLimit } = criteria;
    if (quantificationLimit !== undefined && concentration < quantificationLimit * (1 - 1e-9)) {
      reasons.push(
        `below the quantification limit of ${Number(quantificationLimit.toPrecision(3))} ${criteria.unit}`,
      );
    }
  });
}

/** Whether the peak's figures were given, so that their silence says something. */
function asked(level: StudiedLevel): boolean {
  return level.retentionShiftPercent !== undefined && level.tailingChangePercent !== undefined;
}

/** Small peaks have uncertain shapes: tailing and width speak at the top alone, a retention shift everywhere. */
function overloadSigns(level: StudiedLevel, criteria: ResolvedCriteria, above: boolean): string[] {
  const {
    retentionShiftPercent: shift = 0,
    tailingChangePercent: tail = 0,
    widthChangePercent: width = 0,
  } = level;
  const signs: string[] = [];
  if (Math.abs(shift) > criteria.retentionShiftPercent) {
    signs.push(
      `retention ${signed(shift)} % from the middle levels (limit ${criteria.retentionShiftPercent} %): ` +
        (above ? "the column is overloaded" : "another peak, or drift"),
    );
  }
  if (above && Math.abs(tail) > criteria.tailingChangePercent) {
    signs.push(
      `tailing ${signed(tail)} % from the middle levels (limit ${criteria.tailingChangePercent} %): the column is overloaded`,
    );
  }
  if (above && Math.abs(width) > criteria.widthChangePercent) {
    signs.push(
      `width ${signed(width)} % from the middle levels (limit ${criteria.widthChangePercent} %): ` +
        "the column is overloaded or the signal cut off",
    );
  }
  return signs;
}

function interceptOf(points: readonly RangeReading[], members: readonly number[]): number {
  const { x, y, weights } = weightedColumns(points, members, "1/x^2");
  return weightedFit([new Float64Array(x.length).fill(1), x], y, weights).coefficients[0];
}

/** Concentrations, responses and weights of some readings. */
export function weightedColumns(
  points: readonly RangeReading[],
  members: readonly number[],
  weighting: ResolvedCriteria["weighting"],
) {
  const power = { none: 0, "1/x": -1, "1/x^2": -2 }[weighting];
  const x = Float64Array.from(members, (i) => points[i].concentration);
  const y = Float64Array.from(members, (i) => points[i].response);
  return { x, y, weights: x.map((value) => value ** power) };
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function scatter(values: readonly number[]): number | undefined {
  if (values.length < 2) return undefined;
  const middle = mean(values);
  const variance = values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (values.length - 1);
  return middle > 0 ? (100 * Math.sqrt(variance)) / middle : undefined;
}

export function signed(value: number): string {
  return `${value > 0 ? "+" : ""}${value.toFixed(1)}`;
}

import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { checkPoints } from "./check-points.js";
import { levelsOf } from "./levels.js";
import { mandelTest } from "./mandel.js";
import type { MandelTest, StandardReading } from "./types.js";
import { weightedFit } from "./weighted-fit.js";

/** A standard of a range study; figures of its peak, where known, speak about overload of the column. */
export interface RangeReading extends StandardReading {
  /** min */
  readonly retentionTime?: number;
}

export interface RangeCriteria {
  /** Largest deviation of a response factor from the reference, %. @default 5 */
  readonly responseFactorPercent?: number;
  /** Largest shift of the retention time from that of the middle levels, %. @default 2 */
  readonly retentionShiftPercent?: number;
  /** Fewest levels of an accepted range. @default 5 */
  readonly minimumLevels?: number;
}

export interface RangeLevel {
  readonly concentration: number;
  /** (ȳ − b₀)/x */
  readonly responseFactor: number;
  readonly deviationPercent: number;
  readonly accepted: boolean;
  readonly reasons: readonly string[];
}

export interface RangeEvidence {
  readonly test: string;
  readonly statistic: number;
  readonly critical: number;
  /** `undefined` where the test has no probability. */
  readonly p: number | undefined;
  readonly passed: boolean;
  readonly source: string;
}

export interface LinearRange {
  readonly kind: "linear-range";
  /** Ends of the widest range about the middle levels that passes; NaN where not even these do. */
  readonly low: number;
  readonly high: number;
  readonly accepted: boolean;
  readonly levels: readonly RangeLevel[];
  readonly evidence: readonly RangeEvidence[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** Curvature needs a few levels to be seen. */
const FEWEST_FOR_CURVATURE = 4;

/**
 * The range over which the response is proportional to the concentration, from a run of 7 to 9 levels.
 *
 * Response factors RFⱼ = (ȳⱼ − b₀)/xⱼ against the median of the middle levels (all but a quarter at each end); the
 * range grows from the middle both ways as long as |RFⱼ/RF_ref − 1| ≤ 5 %. Then Mandel's test on the readings kept
 * (weights 1/x²): while the curvature is relevant the top level goes. b₀ is the mean response of the zero level where
 * there is one, else the intercept of the 1/x² line through the levels up to the middle ones.
 *
 * Accepted when at least `minimumLevels` remain and no curvature is relevant.
 *
 * @throws IonbookError "too-few-levels" for fewer than four levels above zero, "falling-line", "too-few-points",
 *   "not-a-number", "negative-concentration", "negative-uncertainty"
 * @source response-factor plateau of 5 % (common practice, no source); Mandel: ISO 8466-1:1990
 */
export function validateLinearRange(
  points: readonly RangeReading[],
  criteria: RangeCriteria = {},
): LinearRange {
  const { responseFactorPercent = 5, retentionShiftPercent = 2, minimumLevels = 5 } = criteria;
  checkPoints(points, "linear");
  const study = readStudy(points);
  const levels = study.map((level) => judgedLevel(level, responseFactorPercent, retentionShiftPercent));
  let { first, last } = aroundMiddle(levels);
  let curvature = first <= last ? curvatureOf(points, study, first, last) : undefined;
  while (curvature?.relevant && last - first >= FEWEST_FOR_CURVATURE) {
    levels[last].reasons.push(`curved with this level (Mandel F ${curvature.F.toPrecision(3)})`);
    last--;
    curvature = curvatureOf(points, study, first, last);
  }
  levels.forEach((level, j) => {
    if ((j < first || j > last) && level.reasons.length === 0)
      level.reasons.push("beyond a level that failed");
  });
  const judged = levels.map((level) => ({ ...level, accepted: level.reasons.length === 0 }));
  const evidence = evidenceOf(judged.slice(first, last + 1), curvature, responseFactorPercent, minimumLevels);
  return new StudiedRange(judged, evidence, first, last);
}

function judgedLevel(
  { concentration, responseFactor, deviationPercent, shiftPercent }: StudiedLevel,
  responseFactorPercent: number,
  retentionShiftPercent: number,
) {
  const reasons: string[] = [];
  if (Math.abs(deviationPercent) > responseFactorPercent) {
    reasons.push(
      `response factor ${signed(deviationPercent)} % from the middle levels (limit ${responseFactorPercent} %)`,
    );
  }
  if (Math.abs(shiftPercent) > retentionShiftPercent) {
    reasons.push(`retention ${signed(shiftPercent)} % from the middle levels: the column is overloaded`);
  }
  return { concentration, responseFactor, deviationPercent, accepted: reasons.length === 0, reasons };
}

interface StudiedLevel {
  readonly concentration: number;
  readonly members: readonly number[];
  readonly responseFactor: number;
  readonly deviationPercent: number;
  /** 0 where retention times are not given. */
  readonly shiftPercent: number;
}

function readStudy(points: readonly RangeReading[]): StudiedLevel[] {
  const all = levelsOf(points);
  const blank = all[0].concentration === 0 ? all[0] : undefined;
  const levels = blank ? all.slice(1) : all;
  if (levels.length < FEWEST_FOR_CURVATURE) {
    throw new IonbookError(
      "too-few-levels",
      `A range study needs at least ${FEWEST_FOR_CURVATURE} levels above zero (better 7 to 9), there are ${levels.length}`,
    );
  }
  const mean = (members: readonly number[], what: (point: RangeReading) => number) =>
    members.reduce((sum, i) => sum + what(points[i]), 0) / members.length;
  const skip = Math.floor(levels.length / 4);
  const middle = levels.slice(skip, levels.length - skip);
  const b0 = blank
    ? mean(blank.members, (point) => point.response)
    : interceptOf(
        points,
        levels.slice(0, levels.length - skip).flatMap((level) => level.members),
      );
  const factor = (level: (typeof levels)[number]) =>
    (mean(level.members, (point) => point.response) - b0) / level.concentration;
  const reference = median(middle.map(factor));
  if (!(reference > 0)) {
    throw new IonbookError(
      "falling-line",
      `The response does not rise with the concentration (response factor ${reference.toPrecision(4)}): ` +
        "look for swapped standards or a wrong peak",
    );
  }
  const time = (level: (typeof levels)[number]) =>
    mean(level.members, (point) => point.retentionTime ?? Number.NaN);
  const usualTime = median(middle.map(time));
  return levels.map((level) => {
    const responseFactor = factor(level);
    const shift = 100 * (time(level) / usualTime - 1);
    return {
      concentration: level.concentration,
      members: level.members,
      responseFactor,
      deviationPercent: 100 * (responseFactor / reference - 1),
      shiftPercent: Number.isFinite(shift) ? shift : 0,
    };
  });
}

function interceptOf(points: readonly RangeReading[], members: readonly number[]): number {
  const { x, y, weights } = weightedColumns(points, members);
  return weightedFit([new Float64Array(x.length).fill(1), x], y, weights).coefficients[0];
}

function curvatureOf(
  points: readonly RangeReading[],
  study: readonly StudiedLevel[],
  first: number,
  last: number,
): MandelTest {
  const members = study.slice(first, last + 1).flatMap((level) => level.members);
  const { x, y, weights } = weightedColumns(points, members);
  return mandelTest(x, y, weights);
}

function weightedColumns(points: readonly RangeReading[], members: readonly number[]) {
  const x = Float64Array.from(members, (i) => points[i].concentration);
  const y = Float64Array.from(members, (i) => points[i].response);
  return { x, y, weights: x.map((value) => value ** -2) };
}

/** The stretch of accepted levels around the best of the middle ones; first > last where that one fails. */
function aroundMiddle(levels: readonly RangeLevel[]): { first: number; last: number } {
  const skip = Math.floor(levels.length / 4);
  let best = skip;
  for (let j = skip; j < levels.length - skip; j++) {
    if (Math.abs(levels[j].deviationPercent) < Math.abs(levels[best].deviationPercent)) best = j;
  }
  if (!levels[best].accepted) return { first: best, last: best - 1 };
  let [first, last] = [best, best];
  while (first > 0 && levels[first - 1].accepted) first--;
  while (last < levels.length - 1 && levels[last + 1].accepted) last++;
  return { first, last };
}

function evidenceOf(
  kept: readonly RangeLevel[],
  curvature: MandelTest | undefined,
  responseFactorPercent: number,
  minimumLevels: number,
): RangeEvidence[] {
  const largest = kept.reduce((most, level) => Math.max(most, Math.abs(level.deviationPercent)), 0);
  const evidence: RangeEvidence[] = [
    {
      test: "levels in the range",
      statistic: kept.length,
      critical: minimumLevels,
      p: undefined,
      passed: kept.length >= minimumLevels,
      source: "common practice, no source",
    },
    {
      test: "largest deviation of a response factor, %",
      statistic: largest,
      critical: responseFactorPercent,
      p: undefined,
      passed: kept.length > 0,
      source: "common practice, no source",
    },
  ];
  if (curvature && !Number.isNaN(curvature.F)) {
    evidence.push({
      test: "curvature (Mandel), relevant above 2 % of a level",
      statistic: curvature.F,
      critical: curvature.critical,
      p: curvature.p,
      passed: !curvature.relevant,
      source: "ISO 8466-1:1990, 99 % (from memory)",
    });
  }
  return evidence;
}

class StudiedRange implements LinearRange {
  readonly kind = "linear-range";
  readonly low: number;
  readonly high: number;
  readonly accepted: boolean;
  readonly levels: readonly RangeLevel[];
  readonly evidence: readonly RangeEvidence[];

  constructor(
    levels: readonly RangeLevel[],
    evidence: readonly RangeEvidence[],
    first: number,
    last: number,
  ) {
    this.low = first <= last ? levels[first].concentration : Number.NaN;
    this.high = first <= last ? levels[last].concentration : Number.NaN;
    this.accepted = evidence.every((row) => row.passed);
    this.levels = levels;
    this.evidence = evidence;
  }

  toString(): string {
    const verdict = this.accepted ? "linear" : "not accepted as linear";
    const out = this.levels.filter((level) => !level.accepted);
    const reasons = out.map((level) => `\n  ${level.concentration}: ${level.reasons.join("; ")}`);
    return `${verdict} from ${this.low} to ${this.high}${reasons.join("")}`;
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

function signed(value: number): string {
  return `${value > 0 ? "+" : ""}${value.toFixed(1)}`;
}

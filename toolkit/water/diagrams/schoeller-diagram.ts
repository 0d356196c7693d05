import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { type ChargeGroup, HYDROGENCARBONATE_WAYS } from "./charge-groups.js";
import { chargeNotes, someOf } from "./diagram-notes.js";
import type { NamedWater, WaterInputs } from "./named-water.js";
import { requireOneOf } from "./require-options.js";
import {
  absentOf,
  type ChargeDiagramOptions,
  namesOfGroups,
  SIX_GROUPS,
  type SixGroups,
  sixGroupsOf,
} from "./six-groups.js";

export type SchoellerOptions<W extends NamedWater = NamedWater> = ChargeDiagramOptions<W>;

/** One group of ions of one water. */
export interface SchoellerPoint {
  /** "calcium", "magnesium", "sodium + potassium", "chloride", "sulfate" or "hydrogencarbonate". */
  readonly ions: string;
  /** 0 to 5 from left to right. */
  readonly place: number;
  /** meq/L, bounded ions at their bound; undefined where not measured. */
  readonly milliequivalents: MeasuredValue | undefined;
  /** log₁₀ of the charge in meq/L; undefined where not measured, or nothing. */
  readonly logarithm: number | undefined;
  /** True where a visible part of it stands at a bound. */
  readonly open: boolean;
}

export interface SchoellerLine {
  readonly name: string;
  /** "" where nothing is grouped. */
  readonly group: string;
  readonly points: readonly SchoellerPoint[];
  readonly absent: readonly string[];
}

export interface SchoellerDiagram {
  readonly kind: "schoeller-diagram";
  readonly title: string;
  readonly groups: readonly string[];
  /** The groups of ions from left to right. */
  readonly ions: readonly string[];
  readonly lines: readonly SchoellerLine[];
  readonly notes: readonly string[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** A bound that makes up less than this part of a point is not seen on a logarithmic scale. */
const VISIBLE = 0.05;
const KNOWN = { groupBy: true, title: true, hydrogencarbonate: true } as const;

/**
 * Schoeller lines of waters: log₁₀ of the charge of six groups of ions, meq/L, in the order calcium, magnesium, sodium
 * with potassium, chloride, sulfate, hydrogencarbonate. Waters that are dilutions of each other run parallel.
 *
 * Ions at a bound stand at their bound, open, with an arrow down. A group without its main ion is a gap in the line.
 *
 * @param waters one, several, or results of `quantify`; mg/L, alkalinity in mg/L as CaCO3
 * @throws IonbookError "no-waters", "bad-water", "duplicate-name", "unknown-field", "unknown-option", "bad-option",
 *   "not-a-number"; "nothing-to-draw" where no group of any water was found; else as `chargeBalance`
 * @source H. Schoeller, Bull. Soc. géol. France 5 (1935) 651 (from memory)
 */
export function schoellerDiagram<W extends NamedWater>(
  waters: WaterInputs<W>,
  options: SchoellerOptions<W> = {},
): SchoellerDiagram {
  requireKnownOptions(options, KNOWN, "schoellerDiagram");
  requireOneOf(options.hydrogencarbonate, HYDROGENCARBONATE_WAYS, "hydrogencarbonate", "schoellerDiagram");
  const read = sixGroupsOf(waters, options, "schoellerDiagram");
  const lines = read.map(lineOf);
  if (!lines.some(({ points }) => points.some(({ logarithm }) => logarithm !== undefined)))
    throw new IonbookError(
      "nothing-to-draw",
      "no ion of a Schoeller diagram was found: give calcium, magnesium, sodium, chloride, sulfate, hydrogencarbonate or alkalinity above zero",
    );
  const noted = read.map(({ name, charge }, i) => ({
    name,
    charge,
    open: lines[i].points.filter(({ open }) => open).map(({ ions }) => ions),
  }));
  const result: SchoellerDiagram = {
    kind: "schoeller-diagram",
    title: options.title ?? "",
    groups: namesOfGroups(read),
    ions: SIX_GROUPS.map(({ name }) => name),
    lines,
    notes: [...chargeNotes(noted, "a gap in the line"), ...zeroNotes(lines)],
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function lineOf({ name, group, charge }: SixGroups): SchoellerLine {
  return { name, group, points: charge.groups.map(pointOf), absent: absentOf(charge.groups) };
}

function pointOf({ name, milliequivalents, bounded }: ChargeGroup, place: number): SchoellerPoint {
  const value = milliequivalents?.value ?? 0;
  return {
    ions: name,
    place,
    milliequivalents,
    logarithm: value > 0 ? Math.log10(value) : undefined,
    open: value > 0 && bounded > VISIBLE * value,
  };
}

function zeroNotes(lines: readonly SchoellerLine[]): readonly string[] {
  return SIX_GROUPS.flatMap(({ name: ions }, place) => {
    const none = lines.filter(({ points }) => {
      const { milliequivalents } = points[place];
      return milliequivalents !== undefined && !(milliequivalents.value > 0);
    });
    if (none.length === 0) return [];
    const names = someOf(
      none.map(({ name }) => name),
      lines.length,
    );
    return [`No ${ions} at all in ${names}: no place on a logarithmic scale.`];
  });
}

function describe({ title, lines, ions, notes }: SchoellerDiagram): string {
  const count = lines.length === 1 ? lines[0].name : `${lines.length} waters`;
  const rows = lines.map(({ name, points }) => {
    const values = points.map(({ milliequivalents, open }) => {
      if (milliequivalents === undefined) return "not measured";
      return `${open ? "below " : ""}${Number(milliequivalents.value.toPrecision(3))}`;
    });
    return `${name}: ${values.join(", ")}`;
  });
  return [
    `Schoeller diagram of ${title === "" ? count : `${title}, ${count}`}, meq/L on a logarithmic scale: ${ions.join(", ")}`,
    ...rows,
    ...notes,
  ].join("\n");
}

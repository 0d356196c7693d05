import { IonbookError } from "../../errors.js";
import { CONVENTION_FORMULAS, type ConventionLetter } from "./conventions.js";

/** What a criterion is applied to. */
export interface BalanceFigures {
  /** meq/L */
  readonly cations: number;
  /** meq/L, magnitude */
  readonly anions: number;
  /** Standard uncertainty of cations − anions, meq/L; 0 where unknown. */
  readonly uDifference: number;
  /** True for rain, snow and other atmospheric water. */
  readonly precipitation: boolean;
}

/**
 * What is limited: "difference" cations − anions in meq/L; "percent" 100·(C − A)/(C + A); "half-sum percent", twice
 * that, 100·(C − A)/(½(C + A)); "normalized" (C − A)/u(C − A).
 */
export type BalanceMeasure = "difference" | "percent" | "half-sum percent" | "normalized";

/** One published rule, as data: edit or replace it in the option `criteria`. */
export interface BalanceCriterion {
  readonly source: string;
  /** What the bands are counted in: the anion sum in meq/L, or the sum of both sides in µeq/L. */
  readonly scale: "anion sum, meq/L" | "cations + anions, µeq/L";
  /**
   * Upper end (inclusive), measure and limit of each band; above the last band the rule is silent. A fourth number is
   * the end of a zone of warning above the limit.
   */
  readonly bands: readonly (readonly [
    upTo: number,
    measure: BalanceMeasure,
    limit: number,
    warnUpTo?: number,
  ])[];
  /** Applied to precipitation only. */
  readonly precipitation?: boolean;
}

/** One rule applied to one water. */
export interface CriterionResult {
  readonly source: string;
  /** In words with numbers. */
  readonly limit: string;
  /** The figure that was compared with the limit. */
  readonly found: number;
  readonly passed: boolean;
  /** "warn" only where the rule has a zone of warning. */
  readonly verdict: BalanceVerdict;
  /** Letter and formula of the figure: reports mean different ones by the same words. */
  readonly convention: ConventionLetter;
  readonly formula: string;
}

export type BalanceVerdict = "pass" | "warn" | "fail";

const ENDLESS = Number.POSITIVE_INFINITY;

/** The rules in force unless the caller gives others; the first that applies to a water decides whether it passed. */
export const BALANCE_CRITERIA: readonly BalanceCriterion[] = [
  {
    source: "difference against its own uncertainty (common practice, no source)",
    scale: "anion sum, meq/L",
    bands: [[ENDLESS, "normalized", 2, 3]],
  },
  {
    source: "World Meteorological Organization, Global Atmosphere Watch, ion difference (from memory)",
    scale: "cations + anions, µeq/L",
    bands: [
      [50, "half-sum percent", 60],
      [100, "half-sum percent", 30],
      [500, "half-sum percent", 15],
      [ENDLESS, "half-sum percent", 10],
    ],
    precipitation: true,
  },
  {
    source: "Acid Deposition Monitoring Network in East Asia, R1 (from memory)",
    scale: "cations + anions, µeq/L",
    bands: [
      [50, "percent", 30],
      [100, "percent", 15],
      [ENDLESS, "percent", 8],
    ],
    precipitation: true,
  },
  {
    source: "Standard Methods for the Examination of Water and Wastewater, 1030 E (from memory)",
    scale: "anion sum, meq/L",
    bands: [
      [3, "difference", 0.2],
      [10, "percent", 2],
      [800, "percent", 5],
    ],
  },
  {
    source: "practice of several laboratories and regulators (read on their public pages)",
    scale: "anion sum, meq/L",
    bands: [[ENDLESS, "percent", 5]],
  },
  {
    source: "signal value of a Dutch protocol for semi-clean waters (read on public pages)",
    scale: "anion sum, meq/L",
    bands: [[ENDLESS, "percent", 10]],
  },
];

const CONVENTIONS: Readonly<Record<BalanceMeasure, ConventionLetter>> = {
  percent: "a",
  "half-sum percent": "b",
  difference: "d",
  normalized: "e",
};

/** E = D/u(D): what is said of a difference by its own standard uncertainty (common practice, no source). */
export function verdictOfE(normalized: number): BalanceVerdict {
  const far = Math.abs(normalized);
  return far <= 2 ? "pass" : far <= 3 ? "warn" : "fail";
}

/** All rules that apply to a water, in the order given. */
export function applyCriteria(
  figures: BalanceFigures,
  criteria: readonly BalanceCriterion[] = BALANCE_CRITERIA,
): readonly CriterionResult[] {
  criteria.forEach(requireCriterion);
  return criteria.flatMap((criterion) => applyCriterion(figures, criterion) ?? []);
}

/** A rule written by hand is checked by name before it judges anything. */
function requireCriterion(criterion: BalanceCriterion, i: number): void {
  const refuse = (what: string): never => {
    throw new IonbookError(
      "bad-criterion",
      `criterion ${i + 1} ${what}; take one of BALANCE_CRITERIA as a pattern: { source: "quality plan", scale: "anion sum, meq/L", bands: [[3, "difference", 0.2], [Infinity, "percent", 5]] }`,
    );
  };
  if (typeof criterion !== "object" || criterion === null) refuse(`is ${String(criterion)}`);
  const { source, scale, bands } = criterion;
  if (typeof source !== "string" || source.trim() === "") refuse("names no source");
  if (scale !== "anion sum, meq/L" && scale !== "cations + anions, µeq/L")
    refuse(`has the scale "${String(scale)}"`);
  if (!Array.isArray(bands) || bands.length === 0) refuse("has no bands");
  let reached = 0;
  for (const [upTo, measure, limit, warnUpTo = limit] of bands) {
    if (!(upTo > reached)) refuse(`has bands that do not rise: ${upTo} after ${reached}`);
    if (!Object.hasOwn(CONVENTIONS, measure)) refuse(`limits "${String(measure)}"`);
    if (!(limit > 0)) refuse(`has the limit ${limit}, which is not positive`);
    if (!(warnUpTo >= limit)) refuse(`warns up to ${warnUpTo}, below its limit ${limit}`);
    reached = upTo;
  }
}

function applyCriterion(figures: BalanceFigures, criterion: BalanceCriterion): CriterionResult | undefined {
  if (criterion.precipitation && !figures.precipitation) return undefined;
  const size =
    criterion.scale === "anion sum, meq/L" ? figures.anions : 1000 * (figures.cations + figures.anions);
  const at = criterion.bands.findIndex(([upTo]) => size <= upTo);
  if (at < 0) return undefined;
  const [, measure, limit, warnUpTo = limit] = criterion.bands[at];
  if (measure === "normalized" && !(figures.uDifference > 0)) return undefined;
  const found = measureOf(figures, measure);
  const far = Math.abs(found);
  const convention = CONVENTIONS[measure];
  return {
    source: criterion.source,
    limit: `${describeLimit(measure, limit)}${describeBand(criterion, at)}`,
    found,
    passed: far <= limit,
    verdict: far <= limit ? "pass" : far <= warnUpTo ? "warn" : "fail",
    convention,
    formula: CONVENTION_FORMULAS[convention],
  };
}

function measureOf({ cations, anions, uDifference }: BalanceFigures, measure: BalanceMeasure): number {
  const difference = cations - anions;
  const percent = (100 * difference) / (cations + anions);
  if (measure === "difference") return difference;
  if (measure === "percent") return percent;
  return measure === "half-sum percent" ? 2 * percent : difference / uDifference;
}

function describeLimit(measure: BalanceMeasure, limit: number): string {
  if (measure === "difference") return `±${limit} meq/L`;
  if (measure === "percent") return `±${limit} % of cations + anions`;
  return measure === "half-sum percent"
    ? `±${limit} % of half of cations + anions`
    : `±${limit} standard uncertainties`;
}

function describeBand({ bands, scale }: BalanceCriterion, at: number): string {
  const low = at === 0 ? 0 : bands[at - 1][0];
  const high = bands[at][0];
  if (low === 0 && high === Number.POSITIVE_INFINITY) return "";
  const [what, unit] = scale.split(", ");
  return high === Number.POSITIVE_INFINITY
    ? ` (${what} above ${low} ${unit})`
    : ` (${what} ${low} to ${high} ${unit})`;
}

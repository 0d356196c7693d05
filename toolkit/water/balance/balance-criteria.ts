import { IonbookError } from "../../errors.js";

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
  /** Upper end (inclusive), measure and limit of each band; above the last band the rule is silent. */
  readonly bands: readonly (readonly [upTo: number, measure: BalanceMeasure, limit: number])[];
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
}

const ENDLESS = Number.POSITIVE_INFINITY;

/** The rules in force unless the caller gives others; the first that applies to a water decides whether it passed. */
export const BALANCE_CRITERIA: readonly BalanceCriterion[] = [
  {
    source: "difference against its own uncertainty (common practice, no source)",
    scale: "anion sum, meq/L",
    bands: [[ENDLESS, "normalized", 2]],
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
];

/** All rules that apply to a water, in the order given. */
export function applyCriteria(
  figures: BalanceFigures,
  criteria: readonly BalanceCriterion[] = BALANCE_CRITERIA,
): readonly CriterionResult[] {
  return criteria.flatMap((criterion) => applyCriterion(figures, criterion) ?? []);
}

function applyCriterion(figures: BalanceFigures, criterion: BalanceCriterion): CriterionResult | undefined {
  if (criterion.precipitation && !figures.precipitation) return undefined;
  const size =
    criterion.scale === "anion sum, meq/L" ? figures.anions : 1000 * (figures.cations + figures.anions);
  const at = criterion.bands.findIndex(([upTo]) => size <= upTo);
  if (at < 0) return undefined;
  const [, measure, limit] = criterion.bands[at];
  if (measure === "normalized" && !(figures.uDifference > 0)) return undefined;
  if (!(limit > 0)) {
    throw new IonbookError(
      "bad-criterion",
      `the limit of "${criterion.source}" is ${limit}; it must be positive`,
    );
  }
  const found = measureOf(figures, measure);
  return {
    source: criterion.source,
    limit: `${describeLimit(measure, limit)}${describeBand(criterion, at)}`,
    found,
    passed: Math.abs(found) <= limit,
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

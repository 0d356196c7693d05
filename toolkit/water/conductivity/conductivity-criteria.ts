import { IonbookError } from "../../errors.js";

/** What a criterion of conductivity is applied to; conductivities in µS/cm at 25 °C. */
export interface ConductivityFigures {
  readonly computed: number;
  readonly measured: number;
  /** Standard uncertainty of computed − measured, µS/cm. */
  readonly uDifference: number;
  /** meq/L */
  readonly cations: number;
  /** meq/L, magnitude */
  readonly anions: number;
  /** True for rain, snow and other atmospheric water. */
  readonly precipitation: boolean;
}

/**
 * What is limited: "normalized" (κ − κ_m)/u; "ratio" κ/κ_m; "cation sum" and "anion sum" 100·S/κ_m, S in meq/L; "percent of
 * measured" 100·(κ − κ_m)/κ_m; "percent of sum" 100·(κ − κ_m)/(κ + κ_m), half as large.
 */
export type ConductivityMeasure =
  | "normalized"
  | "ratio"
  | "cation sum"
  | "anion sum"
  | "percent of measured"
  | "percent of sum";

/** One published rule, as data: edit or replace it in the option `criteria`. */
export interface ConductivityCriterion {
  readonly source: string;
  readonly measure: ConductivityMeasure;
  /** Upper end of each band in µS/cm of the measured conductivity (inclusive), lowest and highest figure allowed. */
  readonly bands: readonly (readonly [upTo: number, low: number, high: number])[];
  /** Applied to precipitation only, or to all other waters only; default to both. */
  readonly waters?: "precipitation" | "other";
}

/** One rule applied to one water. */
export interface ConductivityCriterionResult {
  readonly source: string;
  readonly measure: ConductivityMeasure;
  /** In words with numbers. */
  readonly limit: string;
  readonly found: number;
  readonly passed: boolean;
}

const ENDLESS = Number.POSITIVE_INFINITY;
const CORRECTNESS = "Standard Methods for the Examination of Water and Wastewater, 1030 E (from memory)";

/** The rules in force unless the caller gives others; the first that applies decides whether the comparison passed. */
export const CONDUCTIVITY_CRITERIA: readonly ConductivityCriterion[] = [
  {
    source: "difference against its own uncertainty (common practice, no source)",
    measure: "normalized",
    bands: [[ENDLESS, -2, 2]],
  },
  {
    source: "a laboratory's sheet of criteria for correct analyses (read)",
    measure: "ratio",
    bands: [[ENDLESS, 0.9, 1.1]],
  },
  // Rain carries its charge with H⁺, which conducts five to seven times as well: 100 µS/cm per meq/L is no measure there.
  { source: CORRECTNESS, measure: "cation sum", bands: [[ENDLESS, 0.9, 1.1]], waters: "other" },
  { source: CORRECTNESS, measure: "anion sum", bands: [[ENDLESS, 0.9, 1.1]], waters: "other" },
  {
    source:
      "World Meteorological Organization, Global Atmosphere Watch, conductivity difference (from memory)",
    measure: "percent of measured",
    bands: [
      [5, -50, 50],
      [30, -30, 30],
      [ENDLESS, -20, 20],
    ],
    waters: "precipitation",
  },
  {
    source: "Acid Deposition Monitoring Network in East Asia, R2 (from memory)",
    measure: "percent of sum",
    bands: [
      [5, -20, 20],
      [30, -13, 13],
      [ENDLESS, -9, 9],
    ],
    waters: "precipitation",
  },
];

/** All rules that apply to a water, in the order given. @throws IonbookError "bad-criterion" */
export function applyConductivityCriteria(
  figures: ConductivityFigures,
  criteria: readonly ConductivityCriterion[] = CONDUCTIVITY_CRITERIA,
): readonly ConductivityCriterionResult[] {
  if (!Array.isArray(criteria)) {
    throw new IonbookError(
      "bad-criterion",
      "criteria is a list of rules: CONDUCTIVITY_CRITERIA, edited as you need it",
    );
  }
  return criteria.flatMap((criterion) => applyOne(figures, criterion) ?? []);
}

function applyOne(
  figures: ConductivityFigures,
  criterion: ConductivityCriterion,
): ConductivityCriterionResult | undefined {
  const { source, measure, bands, waters } = requireCriterion(criterion);
  if (waters !== undefined && (waters === "precipitation") !== figures.precipitation) return undefined;
  if (measure === "normalized" && !(figures.uDifference > 0)) return undefined;
  const at = bands.findIndex(([upTo]) => figures.measured <= upTo);
  if (at < 0) return undefined;
  const [upTo, low, high] = bands[at];
  if (!(low < high)) {
    throw new IonbookError("bad-criterion", `the limits of "${source}" are ${low} and ${high}: lowest first`);
  }
  const found = MEASURES[measure].of(figures);
  const below = at === 0 ? 0 : bands[at - 1][0];
  const band =
    upTo === ENDLESS
      ? below > 0
        ? ` (above ${below} µS/cm)`
        : ""
      : ` (${below > 0 ? `${below} to ` : "to "}${upTo} µS/cm)`;
  const range = low === -high ? `±${high}` : `${low} to ${high}`;
  return {
    source,
    measure,
    limit: `${MEASURES[measure].words}: ${range}${MEASURES[measure].unit}${band}`,
    found,
    passed: found >= low && found <= high,
  };
}

interface MeasureOf {
  readonly words: string;
  readonly unit: string;
  readonly of: (figures: ConductivityFigures) => number;
}

const MEASURES: Readonly<Record<ConductivityMeasure, MeasureOf>> = {
  normalized: {
    words: "difference",
    unit: " standard uncertainties",
    of: ({ computed, measured, uDifference }) => (computed - measured) / uDifference,
  },
  ratio: { words: "computed/measured", unit: "", of: ({ computed, measured }) => computed / measured },
  "cation sum": {
    words: "100 times the cations in meq/L over the measured",
    unit: "",
    of: ({ cations, measured }) => (100 * cations) / measured,
  },
  "anion sum": {
    words: "100 times the anions in meq/L over the measured",
    unit: "",
    of: ({ anions, measured }) => (100 * anions) / measured,
  },
  "percent of measured": {
    words: "difference over the measured",
    unit: " %",
    of: ({ computed, measured }) => (100 * (computed - measured)) / measured,
  },
  "percent of sum": {
    words: "difference over the sum of both",
    unit: " %",
    of: ({ computed, measured }) => (100 * (computed - measured)) / (computed + measured),
  },
};

function requireCriterion(criterion: ConductivityCriterion): ConductivityCriterion {
  const known = typeof criterion === "object" && criterion !== null && Array.isArray(criterion.bands);
  if (known && Object.hasOwn(MEASURES, criterion.measure)) return criterion;
  throw new IonbookError(
    "bad-criterion",
    `a criterion says { source, measure, bands: [[upTo, low, high]] }, measure one of ${Object.keys(MEASURES)
      .map((name) => `"${name}"`)
      .join(", ")}`,
  );
}

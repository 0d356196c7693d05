import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { median } from "../numeric/robust.js";
import { type MeasuredValue, measured, minus, over } from "../uncertainty/measured.js";
import type { RetentionFit } from "./fit-retention.js";

export type HoldUpMethod = "retention fit" | "unretained ion" | "water dip" | "geometry";

/** What is known of the time an unretained substance needs; give all you have. */
export interface HoldUpEvidence {
  /** Fit of three or more isocratic runs with ions of different charge. */
  readonly fit?: RetentionFit;
  /** Apex of an ion that the column does not hold, min; a plain number is taken with u = 0.5 %. */
  readonly unretained?: number | MeasuredValue;
  /** Start of a record that shows the water dip: time in min, signal in any unit. */
  readonly dip?: { readonly time: ArrayLike<number>; readonly signal: ArrayLike<number> };
  readonly geometry?: {
    /** mm */
    readonly length: number;
    /** Inner diameter, mm. */
    readonly diameter: number;
    /** mL/min */
    readonly flow: number;
    /** Share of the column that liquid fills. @default 0.65 ± 0.05 */
    readonly porosity?: number;
  };
}

/** A hold-up time with the way it was found and what the other ways say. */
export interface HoldUpTime {
  readonly kind: "hold-up-time";
  /** min */
  readonly value: MeasuredValue;
  readonly method: HoldUpMethod;
  /** Less trusted ways, min. */
  readonly others: readonly { readonly method: HoldUpMethod; readonly value: MeasuredValue }[];
  /** Ways that contradict the one taken by more than 3 u, in sentences. */
  readonly warnings: readonly string[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** Relative u of a single apex, of the front of the dip (common practice, no source). */
const U_UNRETAINED = 0.005;
const U_DIP = 0.02;
const POROSITY = 0.65;
/** Half-width of the porosities of packed columns, 0.6 to 0.7 (from memory). */
const POROSITY_HALF_WIDTH = 0.05;
const FEWEST_RUNS = 3;

/**
 * Hold-up time by the most trusted way of those given: fitted from isocratic runs, apex of an unretained ion, onset of
 * the water dip (10 % of its depth on the front), geometry ε·π·d²·L/(4F).
 *
 * min; L length and d diameter in mm, F flow in mL/min, ε total porosity. A fit counts only with three runs and two
 * charges. A 1 % error of t₀ is 3 % in k at k = 0.5 and 1.1 % at k = 10, so state the way beside every k.
 *
 * @throws IonbookError "no-evidence", "no-dip", "bad-geometry"
 * @source IUPAC, Pure Appl. Chem. 65 (1993) 819; porosity of packed columns (from memory)
 */
export function holdUpTime(evidence: HoldUpEvidence): HoldUpTime {
  const { fit, unretained, dip, geometry } = evidence;
  const ways: { readonly method: HoldUpMethod; readonly value: MeasuredValue }[] = [];
  if (fit !== undefined && tellsHoldUp(fit)) ways.push({ method: "retention fit", value: fit.holdUpTime });
  if (unretained !== undefined) ways.push({ method: "unretained ion", value: apexOf(unretained) });
  if (dip !== undefined) ways.push({ method: "water dip", value: onsetOf(dip) });
  if (geometry !== undefined) ways.push({ method: "geometry", value: fromGeometry(geometry) });
  const [best, ...others] = ways;
  if (best === undefined) {
    throw new IonbookError(
      "no-evidence",
      "a hold-up time needs evidence: the fit of three runs with ions of two charges, the apex of an unretained ion, a record with the water dip, or the column's size and flow",
    );
  }
  const result: HoldUpTime = {
    kind: "hold-up-time",
    ...best,
    others,
    warnings: others.flatMap(({ method, value }) => contradiction(best, method, value)),
    toString: () => `hold-up time ${best.value}, by ${best.method}`,
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

/**
 * Retention factor k = (t − t₀)/t₀ with its uncertainty and the way t₀ was found; apparent in a gradient.
 *
 * @param retentionTime apex, min
 * @throws IonbookError "bad-hold-up-time" for a peak before the hold-up time
 * @source IUPAC, Pure Appl. Chem. 65 (1993) 819 (from memory)
 */
export function retentionFactorWith(
  holdUp: HoldUpTime,
  retentionTime: number | MeasuredValue,
): { readonly retentionFactor: MeasuredValue; readonly method: HoldUpMethod } {
  const time = typeof retentionTime === "number" ? retentionTime : retentionTime.value;
  if (!(time >= holdUp.value.value)) {
    throw new IonbookError(
      "bad-hold-up-time",
      `the peak at ${time} min comes before the hold-up time of ${holdUp.value}: one of them is wrong`,
    );
  }
  return { retentionFactor: over(minus(retentionTime, holdUp.value), holdUp.value), method: holdUp.method };
}

function tellsHoldUp({ ions, residuals }: RetentionFit): boolean {
  const slopes = Object.values(ions).map(({ b }) => b);
  const runs = new Set(residuals.map(({ run }) => run)).size;
  return runs >= FEWEST_RUNS && Math.max(...slopes) - Math.min(...slopes) > 0.5;
}

function apexOf(unretained: number | MeasuredValue): MeasuredValue {
  return typeof unretained === "number"
    ? measured(unretained, "min", { u: U_UNRETAINED * unretained }, { source: "apex of the unretained ion" })
    : unretained;
}

function onsetOf({ time, signal }: NonNullable<HoldUpEvidence["dip"]>): MeasuredValue {
  const n = Math.min(time.length, signal.length);
  let lowest = 0;
  for (let i = 1; i < n; i++) if (signal[i] < signal[lowest]) lowest = i;
  const before = Array.from({ length: Math.max(1, Math.floor(lowest / 2)) }, (_, i) => signal[i]);
  const level = median(before);
  const scatter = 1.4826 * median(before.map((y) => Math.abs(y - level)));
  const depth = level - signal[lowest];
  if (lowest < 4 || lowest > n - 3 || !(depth > 20 * scatter)) {
    throw new IonbookError(
      "no-dip",
      "the record shows no dip that stands clear of the noise and inside the stretch: give the first minutes of a run, dip included",
    );
  }
  let i = lowest;
  while (i > 0 && signal[i] < level - 0.1 * depth) i--;
  const share = (signal[i] - (level - 0.1 * depth)) / (signal[i] - signal[i + 1]);
  const onset = time[i] + share * (time[i + 1] - time[i]);
  return measured(onset, "min", { u: U_DIP * onset }, { source: "onset of the water dip" });
}

function fromGeometry({
  length,
  diameter,
  flow,
  porosity,
}: NonNullable<HoldUpEvidence["geometry"]>): MeasuredValue {
  if (
    !(length > 0 && diameter > 0 && flow > 0 && (porosity === undefined || (porosity > 0 && porosity < 1)))
  ) {
    throw new IonbookError(
      "bad-geometry",
      "length and diameter (mm), flow (mL/min) must be above 0, and the porosity between 0 and 1",
    );
  }
  // mm³ are µL, hence 1000 for mL.
  const perPorosity = (Math.PI * diameter ** 2 * length) / 4 / 1000 / flow;
  return measured(
    (porosity ?? POROSITY) * perPorosity,
    "min",
    { halfWidth: POROSITY_HALF_WIDTH * perPorosity, shape: "rectangular" },
    { source: "porosity of the column" },
  );
}

function contradiction(
  best: { readonly method: HoldUpMethod; readonly value: MeasuredValue },
  method: HoldUpMethod,
  value: MeasuredValue,
): readonly string[] {
  const u = Math.hypot(best.value.u, value.u);
  return Math.abs(value.value - best.value.value) > 3 * u
    ? [`by ${method} it would be ${value}, more than three standard uncertainties from ${best.value}`]
    : [];
}

import type { DISPLAY, DisplayBundle } from "../../display.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";

/** How the scatter of readings grows with the response: v = s₀² + (θy)². */
export interface VarianceFunction {
  /** Standard deviation at zero response, in the response's unit. */
  readonly s0: number;
  /** Relative standard deviation far above it. */
  readonly theta: number;
  /** Sum of the degrees of freedom of the replicate variances it rests on. */
  readonly dof: number;
}

export type CalibrationModel = "linear" | "through-zero" | "quadratic" | "weak" | "physical";
export type CalibrationWeighting = "none" | "1/x" | "1/x^2" | "variance-function";

/** Standard deviations of the responses, one per point, in the response's unit. */
export interface GivenDeviations {
  readonly standardDeviations: readonly number[];
}

/** What one named source (a certified stock, a flask) does to one standard. */
export interface StandardSource {
  /** Name of the source: standards and results that name the same one move together. */
  readonly source: string;
  /** Change of the concentration when the source is one standard uncertainty off; signed, unit of the concentration. */
  readonly contribution: number;
  /** Degrees of freedom of that standard uncertainty. @default Infinity: taken as known */
  readonly dof?: number;
}

/** One standard injected: what was given and what came out. */
export interface StandardReading {
  /** mg/L unless the calibration says otherwise. */
  readonly concentration: number;
  /** Peak area (µS/cm·min) or height. */
  readonly response: number;
  /**
   * Standard uncertainty of the concentration, same unit. Standards of equal concentration are taken for one
   * solution injected again, so they share it. Where `sources` is given, these count instead.
   */
  readonly u?: number;
  /** The parts of the concentration's uncertainty that have a name, shared with other standards or not. */
  readonly sources?: readonly StandardSource[];
  /** How messages call the point, e.g. "level L3, injection A007". */
  readonly label?: string;
  /** Why the reading is left out of the fit; it stays visible in result, table and plot. */
  readonly rejected?: string;
}

/** A reading that was left out, and what the curve says of it. */
export interface RejectedReading {
  readonly point: StandardReading;
  readonly concentration: number;
  readonly response: number;
  readonly reason: string;
  /** NaN where the response has no inverse. */
  readonly found: number;
  readonly relativeErrorPercent: number;
}

/** Something wrong with a calibration that could be computed all the same. */
export interface CalibrationWarning {
  /** "level-slip", "level-off", "flat-line", "unsure-slope", "vertex-in-range", "few-levels", "many-rejected", "range-shortened", "thin-scatter", "scatter-form" */
  readonly code: string;
  readonly message: string;
  /** The level it is about. */
  readonly concentration?: number;
}

export interface CalibrateOptions {
  /** @default "linear" */
  readonly model?: CalibrationModel;
  /**
   * Weights of the responses; for "weak" of the concentrations. An array holds one inverse variance per point;
   * only their ratios matter. "variance-function" fits v = s₀² + (θy)² to the replicates; standard deviations of the
   * responses give 1/s². Both are carried to the concentration where "weak" is fitted. 95 % intervals then hold the
   * truth in 94 to 96 % (92 to 98 % at the ends of the range) where the scatter is as stated, or is of that form and every level was injected five times or
   * more (fewer: up to 99.5 % at the ends); "thin-scatter" and "scatter-form" in `warnings` say where that is in doubt.
   * @default "none"
   */
  readonly weighting?: CalibrationWeighting | readonly number[] | GivenDeviations;
  /** Ion by any of its names or its formula. */
  readonly ion?: string;
  /** Unit of the concentrations. @default "mg/L" */
  readonly unit?: string;
  /** How the curve's own sources are called in results. @default "curve", the ion, and four digits from the data */
  readonly name?: string;
  /** Take Cov(b) from known variances of the readings instead of from the residuals. */
  readonly covarianceFrom?: StatedVariances;
  /** What the model "physical" needs to know of the instrument. */
  readonly physical?: PhysicalCell;
  /** Why this model and these weights, in a sentence: shown with the curve. */
  readonly reason?: string;
}

/** What a suppressed conductivity signal depends on besides the ion. */
export interface PhysicalCell {
  /** µL */
  readonly loop: number;
  /** mL/min */
  readonly flow: number;
  /** Standard deviation of the peak, min (half the width at 0.607 of its height; width at half height / 2.355). */
  readonly sigma: number;
  /** Total carbonic acid in the cell, µmol/L. @default from `background`, or 0 */
  readonly carbonicAcid?: number;
  /** Conductivity of the suppressed eluent, µS/cm, where carbonic acid is all there is in it. */
  readonly background?: number;
  /** What the responses are. @default "area" (µS/cm·min); "height" in µS/cm */
  readonly response?: "area" | "height";
}

/** What is known of the readings' scatter before the fit. */
export interface StatedVariances {
  /**
   * Variance of each point's response, (µS/cm·min)²: noise, injection, and the standard's own error seen through
   * the slope — all but what the points' `sources` carry.
   */
  readonly responseVariances: readonly number[];
  /** ν₀, the degrees of freedom the stated variances are worth against the residuals. @default 10 */
  readonly priorDof?: number;
}

/** Standard errors as the residuals alone give them: Cov(b) = s_w²(XᵀWX)⁻¹. */
export interface ClassicalErrors {
  readonly standardErrors: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  readonly residualStandardDeviation: number;
  readonly dof: number;
}

/** Where the covariance of the coefficients comes from. */
export interface CovarianceBasis {
  readonly from: "residuals" | "stated variances";
  /** Factor on Cov(b): 1 from residuals; else max(1, (ν₀ + χ²)/(ν₀ + ν)). */
  readonly inflation: number;
  /** χ² of the readings against the stated variances. */
  readonly chiSquared: number | undefined;
  /** Degrees of freedom of the covariance: n − p, Infinity for stated variances the data do not contradict. */
  readonly dof: number;
}

/** Test of fit against pure error. */
export interface LackOfFit {
  readonly F: number;
  readonly dfNumerator: number;
  readonly dfDenominator: number;
  readonly p: number;
  /** F at 95 %. */
  readonly critical: number;
  readonly passed: boolean;
  readonly verdict: string;
  readonly source: string;
}

/** Test of a straight line against a parabola. */
export interface MandelTest {
  readonly F: number;
  readonly dfNumerator: number;
  readonly dfDenominator: number;
  readonly p: number;
  /** F at 99 %. */
  readonly critical: number;
  /** Largest distance between the two curves' concentrations at a level, in % of the level. */
  readonly largestDifferencePercent: number;
  /** F beyond its critical value and the difference above 2 %. */
  readonly relevant: boolean;
  readonly verdict: string;
  readonly source: string;
}

export interface BackCalculated {
  readonly concentration: number;
  /** NaN where the response has no inverse (beyond the vertex of a parabola). */
  readonly found: number;
  /** 100 (found − given)/given; NaN at zero. */
  readonly relativeErrorPercent: number;
}

/** Largest |back-calculated error| of the standards above zero, in %; Infinity where a reading has no inverse. */
export interface LargestErrors {
  /** At the lowest level. */
  readonly atLowest: number;
  /** At all others. */
  readonly above: number;
}

export interface ConcentrationOptions {
  /** Standard uncertainty of the response given (of the mean, for replicates); replaces the curve's own estimate. */
  readonly u?: number;
  /** Name of the reading's own source. @default a name of its own for every call */
  readonly source?: string;
  /**
   * What to do with a reading whose concentration lies more than a tenth above the highest standard, and above it even
   * at the low end of its 95 % interval. Below the lowest standard a value is always given.
   * @default "refuse"
   */
  readonly beyondRange?: "refuse" | "allow";
}

/** Coverage interval of a concentration. */
export interface ConcentrationInterval {
  readonly low: number;
  readonly high: number;
  readonly level: number;
  /** Squared relative half-width of the slope of a straight line; undefined for other curves. */
  readonly g: number | undefined;
  /** Fieller's where g is above 0.05. */
  readonly method: "value ± k·u" | "Fieller";
}

/** A fitted response curve. Coefficients ascending; for "weak" [a1, a2] of concentration = a1·y + a2·y². */
export interface Calibration {
  readonly kind: "calibration";
  readonly ion: string | undefined;
  readonly unit: string;
  readonly model: CalibrationModel;
  readonly weighting: string;
  /** How the curve's own sources are called: "name (1)", "name (2)", … */
  readonly name: string;
  /** The readings of the fit. */
  readonly points: readonly StandardReading[];
  /** The readings left out, each with its reason. */
  readonly rejected: readonly RejectedReading[];
  readonly warnings: readonly CalibrationWarning[];
  /** Why this model and these weights; undefined where nobody said. */
  readonly reason: string | undefined;
  /** The fitted variance function, where the weighting is one. */
  readonly varianceFunction: VarianceFunction | undefined;
  readonly coefficients: readonly number[];
  readonly standardErrors: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** Covariance of the coefficients with what the standards bring by name: Cov(b) + Σₛ (∂b/∂s)(∂b/∂s)ᵀ. */
  readonly covarianceWithStandards: readonly (readonly number[])[];
  readonly covarianceBasis: CovarianceBasis;
  readonly classical: ClassicalErrors;
  /** s_w = √(Q/(n − p)), in the weighted unit. */
  readonly residualStandardDeviation: number;
  /** n − p */
  readonly dof: number;
  readonly rSquared: number;
  /** Lowest and highest concentration. */
  readonly range: readonly [low: number, high: number];
  readonly relativeStandardErrorPercent: number;
  /** Response at a concentration. */
  respond(concentration: number): number;
  /** Variance of a single reading at a concentration, in the response's unit squared. */
  readingVariance(concentration: number): number;
  /**
   * Concentration of a reading; the result's sources are the curve (shared by all results of this curve), what the
   * standards share, and the reading.
   * @throws IonbookError "beyond-range" above the highest standard, "no-inverse", "not-a-number", "no-readings",
   *   "negative-uncertainty", "unknown-option", "bad-option"
   */
  concentration(
    response: number | readonly number[] | MeasuredValue,
    options?: ConcentrationOptions,
  ): MeasuredValue;
  /**
   * Coverage interval of a concentration: value ± k·u, or Fieller's where the slope of a line is so uncertain (g above
   * 0.05) that this is no longer fair.
   * @throws IonbookError "no-finite-interval" at g ≥ 1, "bad-level", those of `concentration`
   */
  interval(
    response: number | readonly number[] | MeasuredValue,
    options?: { readonly u?: number; readonly level?: number; readonly beyondRange?: "refuse" | "allow" },
  ): ConcentrationInterval;
  backCalculated(): readonly BackCalculated[];
  largestErrors(): LargestErrors;
  lackOfFit(): LackOfFit | undefined;
  mandel(): MandelTest;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

import type { MeasuredValue } from "../uncertainty/measured.js";

export type CalibrationModel = "linear" | "through-zero" | "quadratic" | "weak";

/** One standard injected: what was given and what came out. */
export interface StandardReading {
  /** mg/L unless the calibration says otherwise. */
  readonly concentration: number;
  /** Peak area (µS/cm·min) or height. */
  readonly response: number;
  /** Standard uncertainty of the concentration, same unit. */
  readonly u?: number;
}

/** Test of fit against pure error. */
export interface LackOfFit {
  readonly F: number;
  readonly dfNumerator: number;
  readonly dfDenominator: number;
  readonly p: number;
}

/** Test of a straight line against a parabola. */
export interface MandelTest {
  readonly F: number;
  readonly dfNumerator: number;
  readonly dfDenominator: number;
  readonly p: number;
}

/** A fitted response curve. Coefficients ascending; for "weak" [a1, a2] of concentration = a1·y + a2·y². */
export interface Calibration {
  readonly kind: "calibration";
  readonly ion: string | undefined;
  readonly unit: string;
  readonly model: CalibrationModel;
  readonly weighting: string;
  readonly points: readonly StandardReading[];
  readonly coefficients: readonly number[];
  readonly standardErrors: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  readonly residualStandardDeviation: number;
  readonly dof: number;
  readonly rSquared: number;
  /** Lowest and highest concentration. */
  readonly range: readonly [low: number, high: number];
  readonly relativeStandardErrorPercent: number;
  /** Response at a concentration. */
  respond(concentration: number): number;
  /** Concentration of a reading; the result's sources are the curve (shared by all results of this curve) and the reading. */
  concentration(response: number | readonly number[] | MeasuredValue, options?: { readonly u?: number }): MeasuredValue;
  backCalculated(): readonly {
    readonly concentration: number;
    readonly found: number;
    readonly relativeErrorPercent: number;
  }[];
  lackOfFit(): LackOfFit | undefined;
  mandel(): MandelTest | undefined;
  toString(): string;
}

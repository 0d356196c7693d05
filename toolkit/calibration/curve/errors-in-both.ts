import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import {
  combineLinear,
  exactly,
  fromSources,
  type MeasuredValue,
  measured,
} from "../../uncertainty/measured.js";

/** A point whose both coordinates are uncertain. */
export interface UncertainPoint {
  readonly x: number;
  readonly y: number;
  /** Standard uncertainties, above 0. */
  readonly ux: number;
  readonly uy: number;
  /** Correlation of the two errors of this point. @default 0 */
  readonly correlation?: number;
}

/** A straight line through points with errors in both coordinates. */
export interface ErrorsInBothLine {
  readonly coefficients: readonly [intercept: number, slope: number];
  /** From the stated uncertainties, not scaled by the scatter. */
  readonly standardErrors: readonly [intercept: number, slope: number];
  readonly covariance: readonly (readonly number[])[];
  /** S = Σ W(y − b₀ − b₁x)² at the minimum, χ² with n − 2 degrees of freedom where the uncertainties are true. */
  readonly chiSquared: number;
  readonly dof: number;
  readonly iterations: number;
  /**
   * x of a new reading, with the line's sources ("name (1)", "name (2)", the same for all its readings) and the reading's:
   * u²(x₀) = (u²(y₀) + v₀₀ + 2x₀v₀₁ + x₀²v₁₁)/b₁². All from stated uncertainties: infinite degrees of freedom.
   * @throws IonbookError "unknown-option", "bad-option", "not-a-number", "negative-uncertainty", "bad-unit", "flat-line"
   */
  concentration(response: number, reading: ReadingOnLine): MeasuredValue;
}

export interface ReadingOnLine {
  /** Standard uncertainty of the response. */
  readonly u: number;
  /** Of x. @default "mg/L" */
  readonly unit?: string;
  /** How the line's sources are called. @default "line with errors in both" */
  readonly name?: string;
  /** How the reading's own source is called. @default a source of its own */
  readonly source?: string;
}

const KNOWN_READING = { u: true, unit: true, name: true, source: true } as const;

const MOST_TURNS = 500;
const CONVERGED = 1e-15;

/**
 * Straight line y = b₀ + b₁x where standards and readings are both uncertain, by the unified equations of York: the
 * maximum-likelihood line for normal errors. With U, V the deviations from the weighted means,
 *
 *     W = ωxωy/(ωx + b₁²ωy − 2b₁rα),  α = √(ωxωy),  β = W[U/ωy + b₁V/ωx − (b₁U + V)r/α],  b₁ = ΣWβV/ΣWβU
 *
 * ω = 1/u². Needed where a standard's u, seen through the slope, is more than a third of its reading's (`calibrate`
 * carries smaller ones to first order). Falling lines are allowed: this is no calibration.
 *
 * @throws IonbookError "bad-points", "too-few-points", "not-a-number", "negative-uncertainty", "bad-correlation",
 *   "dependent-columns" where all x agree, "no-convergence"
 * @source D. York, N. M. Evensen, M. López Martínez and J. De Basabe Delgado, Am. J. Phys. 72 (2004) 367
 */
export function lineWithErrorsInBoth(points: readonly UncertainPoint[]): ErrorsInBothLine {
  checkUncertain(points);
  let slope = startSlope(points);
  for (let iterations = 1; iterations <= MOST_TURNS; iterations++) {
    const turn = yorkTurn(points, slope);
    const moved = Math.abs(turn.slope - slope);
    slope = turn.slope;
    if (moved <= CONVERGED * Math.abs(slope)) return lineOf(points, slope, iterations);
  }
  throw new IonbookError(
    "no-convergence",
    "The line does not settle: the points show no direction of their own",
  );
}

function yorkTurn(points: readonly UncertainPoint[], slope: number) {
  const weights = points.map((point) => weightOf(point, slope));
  const total = weights.reduce((sum, w) => sum + w, 0);
  const meanX = points.reduce((sum, { x }, i) => sum + weights[i] * x, 0) / total;
  const meanY = points.reduce((sum, { y }, i) => sum + weights[i] * y, 0) / total;
  const beta = points.map(({ x, y, ux, uy, correlation = 0 }, i) => {
    const [U, V] = [x - meanX, y - meanY];
    return weights[i] * (U * uy * uy + slope * V * ux * ux - (slope * U + V) * correlation * ux * uy);
  });
  let above = 0;
  let below = 0;
  points.forEach(({ x, y }, i) => {
    above += weights[i] * beta[i] * (y - meanY);
    below += weights[i] * beta[i] * (x - meanX);
  });
  return { slope: above / below, weights, total, meanX, meanY, beta };
}

function lineOf(points: readonly UncertainPoint[], slope: number, iterations: number): ErrorsInBothLine {
  const { weights, total, meanX, meanY, beta } = yorkTurn(points, slope);
  const intercept = meanY - slope * meanX;
  // The adjusted points x̄ + β stand on the line; their spread is what the slope rests on.
  const meanBeta = beta.reduce((sum, b, i) => sum + weights[i] * b, 0) / total;
  const adjustedMean = meanX + meanBeta;
  const spread = beta.reduce((sum, b, i) => sum + weights[i] * (b - meanBeta) ** 2, 0);
  const v11 = 1 / spread;
  const v00 = 1 / total + adjustedMean ** 2 * v11;
  const v01 = -adjustedMean * v11;
  const chiSquared = points.reduce(
    (sum, { x, y }, i) => sum + weights[i] * (y - intercept - slope * x) ** 2,
    0,
  );
  return {
    concentration: (response, reading) => readOffLine({ intercept, slope, v00, v01, v11 }, response, reading),
    coefficients: [intercept, slope],
    standardErrors: [Math.sqrt(v00), Math.sqrt(v11)],
    covariance: [
      [v00, v01],
      [v01, v11],
    ],
    chiSquared,
    dof: points.length - 2,
    iterations,
  };
}

interface LineParts {
  readonly intercept: number;
  readonly slope: number;
  readonly v00: number;
  readonly v01: number;
  readonly v11: number;
}

function readOffLine(line: LineParts, response: number, reading: ReadingOnLine): MeasuredValue {
  requireKnownOptions(reading, KNOWN_READING, "concentration");
  const { intercept, slope, v00, v01, v11 } = line;
  const { u, unit = "mg/L", name = "line with errors in both", source } = reading;
  if (!Number.isFinite(response)) {
    throw new IonbookError("not-a-number", `The response is ${String(response)}: give a number`);
  }
  if (!(u >= 0 && u < Infinity)) {
    throw new IonbookError(
      "negative-uncertainty",
      `The reading's standard uncertainty is ${String(u)}: concentration(1.22, { u: 0.01 })`,
    );
  }
  if (slope === 0) throw new IonbookError("flat-line", "Nothing can be read off a line without a slope");
  const x = (response - intercept) / slope;
  // Columns of the Cholesky factor of the covariance, as `calibrate` does it.
  const first = Math.sqrt(v00);
  const shared = v01 / first;
  const second = Math.sqrt(Math.max(0, v11 - shared * shared));
  const own = source === undefined ? {} : { source };
  const ofReading = measured(response, unit, { u }, own);
  const ofLine = fromSources(0, unit, [
    { source: `${name} (1)`, contribution: -(first + x * shared) / slope, u: 1, group: name },
    { source: `${name} (2)`, contribution: (-x * second) / slope, u: 1, group: name },
  ]);
  const offset = exactly(x - response / slope, unit);
  return combineLinear(
    [
      { value: ofReading, factor: 1 / slope },
      { value: ofLine, factor: 1 },
      { value: offset, factor: 1 },
    ],
    unit,
  );
}

function weightOf({ ux, uy, correlation = 0 }: UncertainPoint, slope: number): number {
  return 1 / (uy * uy + slope * slope * ux * ux - 2 * slope * correlation * ux * uy);
}

function startSlope(points: readonly UncertainPoint[]): number {
  const n = points.length;
  const meanX = points.reduce((sum, { x }) => sum + x, 0) / n;
  const meanY = points.reduce((sum, { y }) => sum + y, 0) / n;
  const spread = points.reduce((sum, { x }) => sum + (x - meanX) ** 2, 0);
  if (!(spread > 0)) {
    throw new IonbookError("dependent-columns", "All points have the same x: a line needs at least two");
  }
  return points.reduce((sum, { x, y }) => sum + (x - meanX) * (y - meanY), 0) / spread;
}

function checkUncertain(points: readonly UncertainPoint[]): void {
  if (!Array.isArray(points) || points.some((point) => typeof point !== "object" || point === null)) {
    throw new IonbookError(
      "bad-points",
      "lineWithErrorsInBoth needs one list of points: lineWithErrorsInBoth([{ x: 1, y: 2.1, ux: 0.01, uy: 0.05 }, …])",
    );
  }
  if (points.length < 3) {
    throw new IonbookError(
      "too-few-points",
      `A line needs at least three points to be judged, there are ${points.length}`,
    );
  }
  points.forEach(({ x, y, ux, uy, correlation = 0 }, i) => {
    if (!Number.isFinite(x) || !Number.isFinite(y)) {
      throw new IonbookError("not-a-number", `Point ${i + 1} is (${x}, ${y}): both must be numbers`);
    }
    if (!(ux > 0 && ux < Infinity && uy > 0 && uy < Infinity)) {
      throw new IonbookError(
        "negative-uncertainty",
        `Point ${i + 1} has the standard uncertainties ${ux} and ${uy}: both must be above 0`,
      );
    }
    if (!(Math.abs(correlation) < 1)) {
      throw new IonbookError(
        "bad-correlation",
        `Point ${i + 1} has the correlation ${correlation}: between −1 and 1`,
      );
    }
  });
}

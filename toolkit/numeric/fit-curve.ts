import { IonbookError } from "../errors.js";
import { type Bound, DifferenceJacobian } from "./difference-jacobian.js";
import { factorQr, inverseGram } from "./householder.js";
import {
  type CurveProblem,
  DEPENDENT,
  LevenbergMarquardt,
  type SearchResult,
} from "./levenberg-marquardt.js";

/** y as a function of parameters and one point x (a number, or an array for several predictors). */
export type CurveModel<X> = (parameters: readonly number[], x: X) => number;

export interface CurveData<X> {
  readonly x: readonly X[];
  readonly y: readonly number[];
  /** Standard deviation of each y, weights 1/s². @default equal and unknown */
  readonly standardDeviations?: readonly number[];
}

export interface CurveOptions<X> {
  /** One [low, high] a parameter, −Infinity and Infinity for none. @default no bounds */
  readonly bounds?: readonly Bound[];
  /** ∂model/∂parameters at x, one entry a parameter. @default finite differences */
  readonly jacobian?: (parameters: readonly number[], x: X) => readonly number[];
  /** @default 1000 */
  readonly maxIterations?: number;
  /**
   * "known": the standard deviations are believed, and the covariance is (JᵀWJ)⁻¹. "relative": only their ratios
   * are, and the scatter about the curve gives the scale. @default "known" with `standardDeviations`
   */
  readonly standardDeviationsAre?: "known" | "relative";
}

export interface CurveFit {
  readonly parameters: readonly number[];
  /** 0 for a parameter held at a bound; NaN where the data do not determine it. */
  readonly standardErrors: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** √(Σ w·r²/dof), in units of y without `standardDeviations`, else in units of those; NaN when dof = 0. */
  readonly residualStandardDeviation: number;
  /** Σ w·r². */
  readonly residualSumOfSquares: number;
  /** Points minus parameters. */
  readonly dof: number;
  readonly converged: boolean;
  /** Why the search ended, in words. */
  readonly reason: string;
  readonly iterations: number;
  /** Whether each parameter ended held at a bound: its standard error is 0 by decree, not by evidence. */
  readonly atBound: readonly boolean[];
}

/**
 * The parameters that minimise Σ w·(y − model)², w = 1/s², by Levenberg–Marquardt; standard errors from the linear
 * picture at the end, good while the model is nearly straight over a few standard errors.
 *
 * @param model called points × (2·parameters + 1) times an iteration when no `jacobian` is given
 * @param start first guess, inside the bounds; the search is local, so a far guess may end in a side valley
 * @returns without `standardDeviations` (or with relative ones) covariance s²·(JᵀWJ)⁻¹, s² = Σ w·r²/dof, NaN for
 *   dof = 0; with known ones (JᵀWJ)⁻¹. Look at `converged` before using anything.
 * @throws IonbookError "unequal-lengths", "too-few-points", "not-finite" (data), "out-of-domain" (standard deviations,
 *   start outside its bounds), "model-not-finite" (model undefined at the start)
 * @source G. A. F. Seber, C. J. Wild, Nonlinear Regression, Wiley 1989, ch. 2, 14
 */
export function fitCurve<X = number>(
  model: CurveModel<X>,
  data: CurveData<X>,
  start: readonly number[],
  options: CurveOptions<X> = {},
): CurveFit {
  checkData(data, start, options.bounds);
  const problem = weightedProblem(model, data, start, options);
  checkModel(problem, start);
  const search = new LevenbergMarquardt(problem, Float64Array.from(start), options.bounds);
  const scaled = data.standardDeviations === undefined || options.standardDeviationsAre === "relative";
  return summarise(search.run(options.maxIterations ?? 1000), data.y.length, scaled);
}

function weightedProblem<X>(
  model: CurveModel<X>,
  data: CurveData<X>,
  start: readonly number[],
  options: CurveOptions<X>,
): CurveProblem {
  const points = data.y.length;
  const perDeviation = Float64Array.from(data.y, (_, i) => 1 / (data.standardDeviations?.[i] ?? 1));
  const scratch = [...start];
  const load = (parameters: Float64Array) => {
    for (let j = 0; j < parameters.length; j++) scratch[j] = parameters[j];
  };
  const values = (parameters: Float64Array, out: Float64Array) => {
    load(parameters);
    for (let i = 0; i < points; i++) out[i] = model(scratch, data.x[i]) * perDeviation[i];
  };
  const current = new Float64Array(points);
  const differences = new DifferenceJacobian(values, points, Float64Array.from(start), options.bounds);
  const { jacobian } = options;
  return {
    points,
    dataLength: Math.sqrt(data.y.reduce((sum, value, i) => sum + (value * perDeviation[i]) ** 2, 0)),
    residuals(parameters, out) {
      values(parameters, out);
      let sum = 0;
      for (let i = 0; i < points; i++) {
        out[i] = data.y[i] * perDeviation[i] - out[i];
        sum += out[i] * out[i];
      }
      return sum;
    },
    jacobian(parameters, out, fine) {
      if (jacobian === undefined) {
        values(parameters, current);
        differences.fill(parameters, current, out, fine);
        return;
      }
      load(parameters);
      const n = parameters.length;
      for (let i = 0; i < points; i++) {
        const row = jacobian(scratch, data.x[i]);
        for (let j = 0; j < n; j++) out[i * n + j] = row[j] * perDeviation[i];
      }
    },
  };
}

function summarise(search: SearchResult, points: number, scaled: boolean): CurveFit {
  const n = search.parameters.length;
  const { free, sumOfSquares } = search;
  const dof = points - n;
  const variance = dof > 0 ? sumOfSquares / dof : Number.NaN;
  const columns = free.length;
  const chosen = new Float64Array(points * columns);
  for (let i = 0; i < points; i++) {
    for (let k = 0; k < columns; k++) chosen[i * columns + k] = search.jacobian[i * n + free[k]];
  }
  const qr = factorQr(chosen, points, columns);
  const determined = qr.diagonal.every((r) => Math.abs(r) > DEPENDENT);
  const inverse = inverseGram(qr);
  const covariance = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  for (let a = 0; a < columns; a++) {
    for (let b = 0; b < columns; b++) {
      const value = inverse[a * columns + b] * (scaled ? variance : 1);
      covariance[free[a]][free[b]] = determined ? value : Number.NaN;
    }
  }
  return {
    parameters: Array.from(search.parameters),
    standardErrors: covariance.map((row, j) => Math.sqrt(row[j])),
    covariance,
    residualStandardDeviation: Math.sqrt(variance),
    residualSumOfSquares: sumOfSquares,
    dof,
    converged: search.converged && determined,
    reason: determined ? search.reason : "the data cannot tell the parameters apart",
    iterations: search.iterations,
    atBound: Array.from(search.parameters, (_, j) => !free.includes(j)),
  };
}

function checkModel(problem: CurveProblem, start: readonly number[]): void {
  const residual = new Float64Array(problem.points);
  problem.residuals(Float64Array.from(start), residual);
  const bad = residual.findIndex((value) => !Number.isFinite(value));
  if (bad >= 0) {
    throw new IonbookError(
      "model-not-finite",
      `The model is not a finite number at point ${bad + 1} for the start [${start.join(", ")}]: start elsewhere`,
    );
  }
}

function checkData<X>(
  data: CurveData<X>,
  start: readonly number[],
  bounds: readonly Bound[] | undefined,
): void {
  const { x, y, standardDeviations } = data;
  if (x.length !== y.length || (standardDeviations && standardDeviations.length !== y.length)) {
    const third = standardDeviations ? ` and ${standardDeviations.length} standard deviations` : "";
    throw new IonbookError(
      "unequal-lengths",
      `fitCurve got ${x.length} x, ${y.length} y${third}: one of each a point`,
    );
  }
  if (y.length < start.length || start.length === 0) {
    throw new IonbookError(
      "too-few-points",
      `fitCurve needs at least one parameter and as many points: ${start.length} parameters, ${y.length} points`,
    );
  }
  const bad = y.findIndex((value) => !Number.isFinite(value));
  if (bad >= 0)
    throw new IonbookError("not-finite", `Point ${bad + 1} of fitCurve has y = ${y[bad]}: leave it out`);
  const badDeviation = standardDeviations?.findIndex((s) => !(s > 0 && s < Infinity)) ?? -1;
  if (badDeviation >= 0) {
    throw new IonbookError(
      "out-of-domain",
      `Standard deviation ${badDeviation + 1} of fitCurve must be above zero`,
    );
  }
  if (bounds && bounds.length !== start.length) {
    throw new IonbookError(
      "unequal-lengths",
      `fitCurve got ${bounds.length} bounds for ${start.length} parameters`,
    );
  }
  start.forEach((value, j) => {
    const [low, high] = bounds?.[j] ?? [-Infinity, Infinity];
    if (!(value >= low && value <= high) || !Number.isFinite(value)) {
      throw new IonbookError(
        "out-of-domain",
        `Start ${j + 1} of fitCurve, ${value}, lies outside [${low}, ${high}]`,
      );
    }
  });
}

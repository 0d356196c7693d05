import { IonbookError } from "../errors.js";
import { doubled, subtract, toNumber } from "./double-double.js";
import { centred, fitCentred, type PolynomialBasis, toPowersOfX, valueAt } from "./polynomial-moments.js";

export interface PolynomialOptions {
  /** Standard deviation of each y, weights 1/s². @default equal and unknown */
  readonly standardDeviations?: readonly number[];
  /**
   * "known": the standard deviations are believed, and the covariance is (XᵀWX)⁻¹. "relative": only their ratios
   * are, and the scatter about the curve gives the scale. @default "known" with `standardDeviations`
   */
  readonly standardDeviationsAre?: "known" | "relative";
  /** Leaves out the constant. @default false */
  readonly throughZero?: boolean;
}

export interface PolynomialFit {
  /** Ascending powers: y = b₀ + b₁x + b₂x² + …; b₀ = 0 when through zero. */
  readonly coefficients: readonly number[];
  readonly standardErrors: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** √(Σ w·r²/dof), in units of y without `standardDeviations`, else in units of those; NaN when dof = 0. */
  readonly residualStandardDeviation: number;
  /** Σ w·r². */
  readonly residualSumOfSquares: number;
  /** 1 − Σ w·r²/Σ w·(y − ȳ)²; through zero the total is about zero, Σ w·y². NaN when y does not vary. */
  readonly rSquared: number;
  /** Points minus coefficients. */
  readonly dof: number;
}

const HIGHEST_DEGREE = 20;

/**
 * The least-squares polynomial of the given degree: minimises Σ w·(y − Σ b_k·x^k)², w = 1/s². Summed in doubled
 * precision about the mean of x, so that coefficients and standard errors are good to the last few digits of what
 * the data, as stored, determine. O(n·degree).
 *
 * @param x, y points, in any units; standard errors come in units of y over powers of units of x
 * @param degree 0 to 20
 * @returns without `standardDeviations` (or with relative ones) covariance s²·(XᵀWX)⁻¹, s² = Σ w·r²/dof, NaN for
 *   dof = 0; with known ones (XᵀWX)⁻¹
 * @throws IonbookError "unequal-lengths", "not-finite", "out-of-domain" (degree, standard deviations),
 *   "too-few-points" (fewer distinct x than coefficients), "dependent-columns"
 * @source N. R. Draper, H. Smith, Applied Regression Analysis, 3rd ed., Wiley 1998, ch. 5, 9; no-intercept R² as in
 *   NIST StRD, dataset NoInt1
 */
export function fitPolynomial(
  x: readonly number[],
  y: readonly number[],
  degree: number,
  options: PolynomialOptions = {},
): PolynomialFit {
  const { throughZero = false, standardDeviations } = options;
  checkData(x, y, degree, throughZero, standardDeviations);
  const weights = standardDeviations ? standardDeviations.map((s) => 1 / (s * s)) : x.map(() => 1);
  const scaled = standardDeviations === undefined || options.standardDeviationsAre === "relative";
  const basis: PolynomialBasis = {
    lowest: throughZero ? 1 : 0,
    degree,
    centre: throughZero ? 0 : mean(x, weights),
  };

  const fit = fitCentred(x, y, weights, basis);
  let residualSumOfSquares = 0;
  for (let i = 0; i < x.length; i++) {
    const fitted = valueAt(centred(x[i], basis.centre), fit.coefficients, basis.lowest);
    residualSumOfSquares += weights[i] * toNumber(subtract(doubled(y[i]), fitted)) ** 2;
  }
  const dof = x.length - fit.coefficients.length;
  const variance = dof > 0 ? residualSumOfSquares / dof : Number.NaN;
  const total = totalSumOfSquares(y, weights, throughZero ? 0 : mean(y, weights));
  const powers = toPowersOfX(fit, basis);
  const covariance = powers.inverse.map((row) =>
    row.map((value) => toNumber(value) * (scaled ? variance : 1)),
  );
  const coefficients = powers.coefficients.map(toNumber);
  return {
    coefficients: throughZero ? [0, ...coefficients] : coefficients,
    standardErrors: withConstant(
      covariance.map((row, k) => Math.sqrt(row[k])),
      throughZero,
    ),
    covariance: throughZero
      ? [[0, ...coefficients.map(() => 0)], ...covariance.map((row) => [0, ...row])]
      : covariance,
    residualStandardDeviation: Math.sqrt(variance),
    residualSumOfSquares,
    rSquared: total > 0 ? 1 - residualSumOfSquares / total : Number.NaN,
    dof,
  };
}

function withConstant(values: readonly number[], throughZero: boolean): readonly number[] {
  return throughZero ? [0, ...values] : values;
}

function checkData(
  x: readonly number[],
  y: readonly number[],
  degree: number,
  throughZero: boolean,
  standardDeviations: readonly number[] | undefined,
): void {
  if (x.length !== y.length || (standardDeviations && standardDeviations.length !== x.length)) {
    const third = standardDeviations ? ` and ${standardDeviations.length} standard deviations` : "";
    throw new IonbookError(
      "unequal-lengths",
      `fitPolynomial got ${x.length} x, ${y.length} y${third}: one of each a point`,
    );
  }
  const first = throughZero ? 1 : 0;
  if (!(Number.isInteger(degree) && degree >= first && degree <= HIGHEST_DEGREE)) {
    throw new IonbookError(
      "out-of-domain",
      `fitPolynomial needs a whole degree from ${first} to ${HIGHEST_DEGREE}, not ${degree}`,
    );
  }
  const bad = x.findIndex((value, i) => !Number.isFinite(value) || !Number.isFinite(y[i]));
  if (bad >= 0)
    throw new IonbookError(
      "not-finite",
      `Point ${bad + 1} of fitPolynomial is not a number: (${x[bad]}, ${y[bad]})`,
    );
  const badDeviation = standardDeviations?.findIndex((s) => !(s > 0 && s < Infinity)) ?? -1;
  if (badDeviation >= 0) {
    throw new IonbookError(
      "out-of-domain",
      `Standard deviation ${badDeviation + 1} of fitPolynomial must be above zero`,
    );
  }
  const distinct = new Set(throughZero ? x.filter((value) => value !== 0) : x).size;
  const needed = degree - first + 1;
  if (distinct < needed) {
    throw new IonbookError(
      "too-few-points",
      `Degree ${degree} needs ${needed} different x, not ${distinct}: lower the degree`,
    );
  }
}

function mean(values: readonly number[], weights: readonly number[]): number {
  let sum = 0;
  let total = 0;
  for (let i = 0; i < values.length; i++) {
    sum += weights[i] * values[i];
    total += weights[i];
  }
  return sum / total;
}

/** Σ w·(y − centre)². */
function totalSumOfSquares(y: readonly number[], weights: readonly number[], centre: number): number {
  let squares = 0;
  for (let i = 0; i < y.length; i++) squares += weights[i] * (y[i] - centre) ** 2;
  return squares;
}

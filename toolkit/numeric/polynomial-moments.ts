import { IonbookError } from "../errors.js";
import {
  add,
  type DoubleDouble,
  divide,
  doubled,
  multiply,
  squareRoot,
  subtract,
  toNumber,
  ZERO,
} from "./double-double.js";

/** The lowest and highest power of a polynomial, and the centre c of its variable t = x − c. */
export interface PolynomialBasis {
  readonly lowest: 0 | 1;
  readonly degree: number;
  readonly centre: number;
}

/** Coefficients and unscaled covariance (XᵀWX)⁻¹ in doubled precision, ascending powers from `lowest`. */
export interface PreciseFit {
  readonly coefficients: readonly DoubleDouble[];
  readonly inverse: readonly (readonly DoubleDouble[])[];
}

/** t = x − c, without rounding. */
export function centred(x: number, centre: number): DoubleDouble {
  return add(doubled(x), doubled(-centre));
}

/**
 * The weighted least-squares polynomial in t, from its normal equations in doubled precision. Those square the
 * condition of the problem, which costs half of 32 digits at worst: centred, the worst published test (degree 10)
 * keeps more than 15. O(n·degree): the matrix holds power sums only.
 */
export function fitCentred(
  x: readonly number[],
  y: readonly number[],
  weights: readonly number[],
  basis: PolynomialBasis,
): PreciseFit {
  const { lowest, degree, centre } = basis;
  const size = degree - lowest + 1;
  const powerSums = new Array<DoubleDouble>(2 * degree + 1).fill(ZERO);
  const right = new Array<DoubleDouble>(size).fill(ZERO);
  for (let i = 0; i < x.length; i++) {
    const t = centred(x[i], centre);
    const reading = doubled(y[i]);
    let term = doubled(weights[i]);
    for (let k = 0; k <= 2 * degree; k++) {
      powerSums[k] = add(powerSums[k], term);
      if (k >= lowest && k <= degree) right[k - lowest] = add(right[k - lowest], multiply(term, reading));
      term = multiply(term, t);
    }
  }
  const matrix = Array.from({ length: size }, (_, i) =>
    Array.from({ length: size }, (__, j) => powerSums[i + j + 2 * lowest]),
  );
  const inverse = invert(matrix);
  return { coefficients: solve(matrix, inverse, right), inverse };
}

/** The same polynomial and covariance in powers of x: binomial expansion of (x − c)^j. */
export function toPowersOfX(fit: PreciseFit, basis: PolynomialBasis): PreciseFit {
  if (basis.centre === 0) return fit;
  // Only a polynomial with all powers is centred, so row k, column j of the map is C(j, k)·(−c)^(j−k).
  const map = binomialMap(basis.degree, -basis.centre);
  const half = map.map((row) => fit.inverse.map((_, j) => dot(row, fit.inverse[j])));
  return {
    coefficients: map.map((row) => dot(row, fit.coefficients)),
    inverse: half.map((row) => map.map((other) => dot(row, other))),
  };
}

/** The polynomial at t, in doubled precision. */
export function valueAt(t: DoubleDouble, coefficients: readonly DoubleDouble[], lowest: 0 | 1): DoubleDouble {
  let sum = ZERO;
  for (let k = coefficients.length - 1; k >= 0; k--) sum = add(multiply(sum, t), coefficients[k]);
  return lowest === 1 ? multiply(sum, t) : sum;
}

function binomialMap(degree: number, shift: number): DoubleDouble[][] {
  const map = Array.from({ length: degree + 1 }, () => new Array<DoubleDouble>(degree + 1).fill(ZERO));
  map[0][0] = doubled(1);
  for (let j = 1; j <= degree; j++) {
    for (let k = 0; k <= j; k++) {
      const shifted = multiply(map[k][j - 1], doubled(shift));
      map[k][j] = k > 0 ? add(map[k - 1][j - 1], shifted) : shifted;
    }
  }
  return map;
}

function dot(a: readonly DoubleDouble[], b: readonly DoubleDouble[]): DoubleDouble {
  let sum = ZERO;
  for (let i = 0; i < a.length; i++) sum = add(sum, multiply(a[i], b[i]));
  return sum;
}

/** x = A⁻¹·b, with one step of refinement that takes the error of the inverse out again. */
function solve(
  matrix: readonly (readonly DoubleDouble[])[],
  inverse: readonly (readonly DoubleDouble[])[],
  right: readonly DoubleDouble[],
): DoubleDouble[] {
  const first = inverse.map((row) => dot(row, right));
  const rest = matrix.map((row, i) => subtract(right[i], dot(row, first)));
  return inverse.map((row, i) => add(first[i], dot(row, rest)));
}

/** A⁻¹ of a symmetric positive definite matrix, by Cholesky. */
function invert(matrix: readonly (readonly DoubleDouble[])[]): DoubleDouble[][] {
  const n = matrix.length;
  const lower = cholesky(matrix);
  const inverseLower = matrix.map(() => new Array<DoubleDouble>(n).fill(ZERO));
  for (let j = 0; j < n; j++) {
    inverseLower[j][j] = divide(doubled(1), lower[j][j]);
    for (let i = j + 1; i < n; i++) {
      let sum = ZERO;
      for (let k = j; k < i; k++) sum = subtract(sum, multiply(lower[i][k], inverseLower[k][j]));
      inverseLower[i][j] = divide(sum, lower[i][i]);
    }
  }
  const columns = matrix.map((_, i) => inverseLower.map((row) => row[i]));
  return columns.map((a) => columns.map((b) => dot(a, b)));
}

function cholesky(matrix: readonly (readonly DoubleDouble[])[]): DoubleDouble[][] {
  const lower = matrix.map((row) => row.map(() => ZERO));
  for (let i = 0; i < matrix.length; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i][j];
      for (let k = 0; k < j; k++) sum = subtract(sum, multiply(lower[i][k], lower[j][k]));
      if (j < i) lower[i][j] = divide(sum, lower[j][j]);
      else lower[i][i] = squareRoot(requirePivot(sum, matrix[i][i]));
    }
  }
  return lower;
}

function requirePivot(pivot: DoubleDouble, diagonal: DoubleDouble): DoubleDouble {
  if (toNumber(pivot) > 1e-28 * toNumber(diagonal)) return pivot;
  throw new IonbookError(
    "dependent-columns",
    "The x values lie too close together for a polynomial of this degree: lower the degree or widen the range",
  );
}

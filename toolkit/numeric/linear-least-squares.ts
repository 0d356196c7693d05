import { IonbookError } from "../errors.js";
import { productError, sumError } from "./exact-product.js";
import { applyQTransposed, factorQr, inverseGram, type QrFactors, solveUpper } from "./householder.js";
import { workArrays } from "./work-arrays.js";

/** What minimises ‖A·x − b‖². */
export interface LeastSquaresSolution {
  /** x, one entry a column of A. */
  readonly solution: Float64Array;
  /** ‖A·x − b‖². */
  readonly residualSumOfSquares: number;
  /** (AᵀA)⁻¹, row-major: times the variance of one reading it is the covariance of x. */
  readonly inverseGram: Float64Array;
}

/** A unit column closer than this to the span of those before it counts as dependent on them. */
const DEPENDENT_BELOW = 1e-14;

const packedOf = workArrays();
const rotatedOf = workArrays();
const residualOf = workArrays();

/**
 * Linear least squares by Householder QR with the columns scaled to length 1, and one step of refinement with
 * residuals accumulated in doubled precision. O(rows·columns²).
 *
 * @param matrix A, row-major rows × columns; weighted fits pass rows multiplied by √weight
 * @param right b, as long as A has rows
 * @throws IonbookError "too-few-points" for fewer rows than columns; "dependent-columns" naming the first column
 *   (counted from 1) that depends on those before it; "not-finite" for NaN or Infinity in A or b
 * @source Golub and Van Loan 2013, §5.3; refinement: G. H. Golub, J. H. Wilkinson, Numer. Math. 9 (1966) 139–148
 */
export function solveLeastSquares(
  matrix: ArrayLike<number>,
  right: ArrayLike<number>,
  rows: number,
  columns: number,
): LeastSquaresSolution {
  if (rows < columns) {
    throw new IonbookError(
      "too-few-points",
      `${columns} coefficients need at least ${columns} points, not ${rows}`,
    );
  }
  const qr = factorQr(matrix, rows, columns, packedOf(rows * columns));
  requireIndependent(qr);
  const rotated = rotatedOf(rows);
  for (let i = 0; i < rows; i++) rotated[i] = right[i];
  applyQTransposed(qr, rotated);
  const solution = solveUpper(qr, rotated);
  const correction = preciseResidual(matrix, right, solution, rows, columns);
  applyQTransposed(qr, correction);
  const step = solveUpper(qr, correction);
  let residualSumOfSquares = 0;
  for (let i = columns; i < rows; i++) residualSumOfSquares += correction[i] * correction[i];
  for (let j = 0; j < columns; j++) solution[j] += step[j];
  if (!solution.every(Number.isFinite)) {
    throw new IonbookError(
      "not-finite",
      "Least squares needs finite numbers: a value of the table or the readings is not",
    );
  }
  return { solution, residualSumOfSquares, inverseGram: inverseGram(qr) };
}

function requireIndependent(qr: QrFactors): void {
  for (let j = 0; j < qr.columns; j++) {
    if (Math.abs(qr.diagonal[j]) < DEPENDENT_BELOW) {
      throw new IonbookError(
        "dependent-columns",
        `Column ${j + 1} of ${qr.columns} depends on the columns before it: the points cannot tell them apart`,
      );
    }
  }
}

/** b − A·x, each row summed in doubled precision. */
function preciseResidual(
  matrix: ArrayLike<number>,
  right: ArrayLike<number>,
  x: Float64Array,
  rows: number,
  columns: number,
): Float64Array {
  const residual = residualOf(rows);
  for (let i = 0; i < rows; i++) {
    let sum = right[i];
    let lost = 0;
    for (let j = 0; j < columns; j++) {
      const product = -matrix[i * columns + j] * x[j];
      const next = sum + product;
      lost += sumError(sum, product, next) + productError(-matrix[i * columns + j], x[j], product);
      sum = next;
    }
    residual[i] = sum + lost;
  }
  return residual;
}

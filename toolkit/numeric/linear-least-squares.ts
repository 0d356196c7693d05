import { IonbookError } from "../errors.js";
import { carve } from "./carve.js";
import { productError, sumError } from "./exact-product.js";
import { applyQTransposed, factorColumns, inverseGram, type QrFactors, solveUpper } from "./householder.js";
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

const tableOf = workArrays();
const packedOf = workArrays();
const lengthsOf = workArrays();
const diagonalOf = workArrays();
const rotatedOf = workArrays();
const residualOf = workArrays();
const lostOf = workArrays();
const stepOf = workArrays();

/** A matrix A with its factors: what the fits of several b share. */
export interface FactoredTable {
  /** A, column by column. */
  readonly table: Float64Array;
  readonly qr: QrFactors;
  /** (AᵀA)⁻¹, row-major. */
  readonly inverseGram: Float64Array;
}

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
  const table = tableOf(rows * columns);
  for (let j = 0; j < columns; j++) {
    for (let i = 0; i < rows; i++) table[j * rows + i] = matrix[i * columns + j];
  }
  const factored = factorTable(table, rows, columns);
  const { solution, residualSumOfSquares } = solveFactored(factored, right);
  return { solution: solution.slice(), residualSumOfSquares, inverseGram: factored.inverseGram.slice() };
}

/**
 * Factors a matrix that lies column by column.
 * @param packed where the factors are put, the matrix itself stays; left out, they hold until the next call for as many
 *   columns of any length
 * @throws IonbookError "too-few-points", "dependent-columns"
 */
export function factorTable(
  table: Float64Array,
  rows: number,
  columns: number,
  packed?: Float64Array,
): FactoredTable {
  if (rows < columns) {
    throw new IonbookError(
      "too-few-points",
      `${columns} coefficients need at least ${columns} points, not ${rows}`,
    );
  }
  const factors = packed ?? packedOf(rows * columns);
  factors.set(table);
  const qr =
    packed === undefined
      ? factorColumns(factors, rows, columns, lengthsOf(columns), diagonalOf(columns))
      : factorColumns(factors, rows, columns);
  requireIndependent(qr);
  return { table, qr, inverseGram: inverseGram(qr, carve(columns * columns)) };
}

/**
 * The fit of one b to a factored matrix; its arrays, and (AᵀA)⁻¹, are to stay inside the toolkit.
 * @throws IonbookError "not-finite"
 */
export function solveFactored(
  { table, qr }: FactoredTable,
  right: ArrayLike<number>,
): Omit<LeastSquaresSolution, "inverseGram"> {
  const { rows, columns } = qr;
  const rotated = rotatedOf(rows);
  for (let i = 0; i < rows; i++) rotated[i] = right[i];
  applyQTransposed(qr, rotated);
  const solution = solveUpper(qr, rotated, carve(columns));
  const correction = preciseResidual(table, right, solution, rows, columns);
  applyQTransposed(qr, correction);
  const step = solveUpper(qr, correction, stepOf(columns));
  let residualSumOfSquares = 0;
  for (let i = columns; i < rows; i++) residualSumOfSquares += correction[i] * correction[i];
  let finite = true;
  for (let j = 0; j < columns; j++) {
    solution[j] += step[j];
    finite = finite && Number.isFinite(solution[j]);
  }
  if (!finite) {
    throw new IonbookError(
      "not-finite",
      "Least squares needs finite numbers: a value of the table or the readings is not",
    );
  }
  return { solution, residualSumOfSquares };
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
  table: Float64Array,
  right: ArrayLike<number>,
  x: Float64Array,
  rows: number,
  columns: number,
): Float64Array {
  const residual = residualOf(rows);
  const lost = lostOf(rows);
  for (let i = 0; i < rows; i++) {
    residual[i] = right[i];
    lost[i] = 0;
  }
  for (let j = 0, at = 0; j < columns; j++) {
    const factor = -x[j];
    for (let i = 0; i < rows; i++, at++) {
      const product = factor * table[at];
      const sum = residual[i] + product;
      lost[i] += sumError(residual[i], product, sum) + productError(factor, table[at], product);
      residual[i] = sum;
    }
  }
  for (let i = 0; i < rows; i++) residual[i] += lost[i];
  return residual;
}

import { IonbookError } from "../errors.js";
import { applyQTransposed, factorQr, solveUpper } from "./householder.js";

/** What minimises ‖A·x − b‖² with every x ≥ 0. */
export interface NonNegativeSolution {
  readonly solution: Float64Array;
  readonly residualSumOfSquares: number;
  /** Columns whose coefficient is above zero, in ascending order. */
  readonly active: readonly number[];
}

/** A gradient below this part of ‖a‖·‖residual‖ counts as zero: more would chase rounding errors. */
const GRADIENT_TOLERANCE = 1e-12;

/**
 * Least squares with non-negative coefficients, by the active-set method: columns enter one by one where the
 * residual still points along them, and leave when their coefficient would turn negative.
 *
 * @param matrix A, row-major rows × columns (columns may outnumber rows)
 * @param right b, as long as A has rows
 * @throws IonbookError "no-convergence" after 30 rounds a column (not seen on independent columns); "not-finite"
 * @source C. L. Lawson, R. J. Hanson, Solving Least Squares Problems, Prentice-Hall 1974, ch. 23, algorithm NNLS
 */
export function nonNegativeLeastSquares(
  matrix: ArrayLike<number>,
  right: ArrayLike<number>,
  rows: number,
  columns: number,
): NonNegativeSolution {
  const problem: Problem = { matrix, right, rows, columns, lengths: columnLengths(matrix, rows, columns) };
  const x = new Float64Array(columns);
  const active: number[] = [];
  const refused = new Set<number>();
  for (let round = 0; round <= 30 * columns; round++) {
    const residual = residualOf(problem, x);
    const entering = steepestColumn(problem, residual, active, refused);
    if (entering === undefined) return finish(x, residual, active);
    active.push(entering);
    const trial = solveActive(problem, active);
    if (trial === undefined || trial[active.length - 1] <= 0) {
      // Dependent on the active columns, or descending by rounding only: it cannot help in this round.
      active.pop();
      refused.add(entering);
      continue;
    }
    refused.clear();
    moveTowards(problem, x, active, trial);
  }
  throw new IonbookError(
    "no-convergence",
    `Non-negative least squares does not settle for ${columns} columns`,
  );
}

interface Problem {
  readonly matrix: ArrayLike<number>;
  readonly right: ArrayLike<number>;
  readonly rows: number;
  readonly columns: number;
  readonly lengths: Float64Array;
}

/** Walks from x towards the solution on the active columns, dropping those that reach zero on the way. */
function moveTowards(problem: Problem, x: Float64Array, active: number[], first: Float64Array): void {
  let trial: Float64Array | undefined = first;
  while (trial !== undefined) {
    let reach = 1;
    let blocking = -1;
    for (let k = 0; k < active.length; k++) {
      const from = x[active[k]];
      if (trial[k] <= 0 && (blocking < 0 || from / (from - trial[k]) < reach)) {
        reach = from / (from - trial[k]);
        blocking = k;
      }
    }
    for (let k = 0; k < active.length; k++) x[active[k]] += reach * (trial[k] - x[active[k]]);
    if (blocking < 0) return;
    x[active[blocking]] = 0;
    for (let k = active.length - 1; k >= 0; k--) {
      if (x[active[k]] <= 0) x[active.splice(k, 1)[0]] = 0;
    }
    trial = solveActive(problem, active);
  }
}

/** Plain least squares on the chosen columns; undefined when they depend on one another. */
function solveActive(problem: Problem, active: readonly number[]): Float64Array | undefined {
  const { matrix, right, rows, columns } = problem;
  const n = active.length;
  if (n > rows) return undefined;
  const chosen = new Float64Array(rows * n);
  for (let i = 0; i < rows; i++)
    for (let k = 0; k < n; k++) chosen[i * n + k] = matrix[i * columns + active[k]];
  const qr = factorQr(chosen, rows, n);
  if (qr.diagonal.some((r) => Math.abs(r) < 1e-13)) return undefined;
  const rotated = Float64Array.from(right);
  applyQTransposed(qr, rotated);
  return solveUpper(qr, rotated);
}

function steepestColumn(
  problem: Problem,
  residual: Float64Array,
  active: readonly number[],
  refused: ReadonlySet<number>,
): number | undefined {
  const { matrix, rows, columns, lengths } = problem;
  let best: number | undefined;
  let steepest = GRADIENT_TOLERANCE * lengthOf(problem.right);
  for (let j = 0; j < columns; j++) {
    if (lengths[j] === 0 || refused.has(j) || active.includes(j)) continue;
    let gradient = 0;
    for (let i = 0; i < rows; i++) gradient += matrix[i * columns + j] * residual[i];
    // Divided by its length, so that the choice does not depend on the units of a column.
    if (gradient / lengths[j] > steepest) {
      steepest = gradient / lengths[j];
      best = j;
    }
  }
  return best;
}

function residualOf(problem: Problem, x: Float64Array): Float64Array {
  const { matrix, right, rows, columns } = problem;
  const residual = Float64Array.from(right);
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < columns; j++) residual[i] -= matrix[i * columns + j] * x[j];
  }
  return residual;
}

function finish(x: Float64Array, residual: Float64Array, active: readonly number[]): NonNegativeSolution {
  let residualSumOfSquares = 0;
  for (let i = 0; i < residual.length; i++) residualSumOfSquares += residual[i] * residual[i];
  if (!Number.isFinite(residualSumOfSquares)) {
    throw new IonbookError(
      "not-finite",
      "Least squares needs finite numbers: a value of the table or the readings is not",
    );
  }
  return { solution: x, residualSumOfSquares, active: [...active].sort((a, b) => a - b) };
}

function columnLengths(matrix: ArrayLike<number>, rows: number, columns: number): Float64Array {
  const lengths = new Float64Array(columns);
  for (let i = 0; i < rows; i++) for (let j = 0; j < columns; j++) lengths[j] += matrix[i * columns + j] ** 2;
  return lengths.map(Math.sqrt);
}

function lengthOf(vector: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < vector.length; i++) sum += vector[i] * vector[i];
  return Math.sqrt(sum);
}

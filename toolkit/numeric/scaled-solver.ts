import { IonbookError } from "../errors.js";
import { Arena } from "./scratch.js";

/** A raise of the diagonal beyond this share would change the answer, not mend its rounding. */
const LARGEST_RAISE = 1e-2;
const SMALLEST_RAISE = 1e-13;

/**
 * Solves symmetric positive (semi)definite systems of up to a given size, again and again, in memory of its own: a fit
 * solves hundreds of small ones, and making arrays for them takes longer than the arithmetic.
 *
 * Each system is scaled to unit diagonal. Columns that depend on one another (two peaks at one place) make it singular in
 * double precision: then the diagonal is raised, by no more than it needs.
 *
 * @source Cholesky: G. H. Golub, C. F. Van Loan, Matrix Computations, 4th ed. 2013, §4.2
 */
export class ScaledSolver {
  private readonly factor: Float64Array;
  private readonly scale: Float64Array;

  /** @param arena where its memory of `ScaledSolver.room(most)` elements is taken from; its own where left out */
  constructor(
    private readonly most: number,
    arena = new Arena(ScaledSolver.room(most)),
  ) {
    this.factor = arena.take(most * most);
    this.scale = arena.take(most);
  }

  static room(most: number): number {
    return most * (most + 1);
  }

  /**
   * The x of (A + damping·I)·x = b, written over b, where A holds the rows and columns `which` (the first `m` of them)
   * of a row-major matrix.
   *
   * @param raise share by which the diagonal is raised at first
   * @throws IonbookError `not-positive-definite` where no small raise helps
   */
  solve(
    matrix: Float64Array,
    stride: number,
    which: Int32Array,
    m: number,
    damping: number,
    raise: number,
    right: Float64Array,
  ): void {
    const { factor, scale, most } = this;
    for (let r = 0; r < m; r++) {
      const diagonal = matrix[which[r] * stride + which[r]] + damping;
      scale[r] = diagonal > 0 ? 1 / Math.sqrt(diagonal) : 0;
      right[r] *= scale[r];
    }
    let raised = raise;
    while (!factorScaled(matrix, stride, which, m, scale, raised, factor, most)) {
      if (!(raised <= LARGEST_RAISE)) {
        throw new IonbookError(
          "not-positive-definite",
          `A system of ${m} equations is not positive definite: its columns depend on one another, or hold no numbers`,
        );
      }
      raised = Math.max(100 * raised, SMALLEST_RAISE);
    }
    substitute(factor, most, m, right);
    for (let r = 0; r < m; r++) right[r] *= scale[r];
  }
}

/** The lower triangle of the scaled matrix' Cholesky factor, with the inverses of its diagonal; false for a bad pivot. */
function factorScaled(
  matrix: Float64Array,
  stride: number,
  which: Int32Array,
  m: number,
  scale: Float64Array,
  raise: number,
  factor: Float64Array,
  most: number,
): boolean {
  for (let r = 0; r < m; r++) {
    const row = r * most;
    const from = which[r] * stride;
    let pivot = 1 + raise;
    for (let c = 0; c < r; c++) {
      const other = c * most;
      let sum = matrix[from + which[c]] * scale[r] * scale[c];
      for (let k = 0; k < c; k++) sum -= factor[row + k] * factor[other + k];
      sum *= factor[other + c];
      factor[row + c] = sum;
      pivot -= sum * sum;
    }
    if (!(pivot > 0 && pivot < Infinity)) return false;
    factor[row + r] = 1 / Math.sqrt(pivot);
  }
  return true;
}

/** One forward and one backward substitution in place. */
function substitute(factor: Float64Array, most: number, m: number, x: Float64Array): void {
  for (let r = 0; r < m; r++) {
    let sum = x[r];
    for (let k = 0; k < r; k++) sum -= factor[r * most + k] * x[k];
    x[r] = sum * factor[r * most + r];
  }
  for (let r = m - 1; r >= 0; r--) {
    const value = x[r] * factor[r * most + r];
    x[r] = value;
    for (let k = 0; k < r; k++) x[k] -= factor[r * most + k] * value;
  }
}

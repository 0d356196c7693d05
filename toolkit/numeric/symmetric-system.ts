import { choleskyFactor, choleskyInverse, choleskySolve } from "./cholesky.js";

/** Solves a symmetric positive (semi)definite system after scaling it to unit diagonal. */
export function solveSymmetric(matrix: Float64Array, right: Float64Array, n: number): Float64Array {
  const { factor, scale } = factorScaled(matrix, n);
  const rhs = right.map((value, i) => value * scale[i]);
  return choleskySolve(factor, rhs, n).map((value, i) => value * scale[i]);
}

/** Inverse of a symmetric positive (semi)definite matrix, row-major n × n, scaled to unit diagonal on the way. */
export function invertSymmetric(matrix: Float64Array, n: number): Float64Array {
  const { factor, scale } = factorScaled(matrix, n);
  const inverse = choleskyInverse(factor, n);
  for (let r = 0; r < n; r++) for (let c = 0; c < n; c++) inverse[r * n + c] *= scale[r] * scale[c];
  return inverse;
}

/**
 * Cholesky factor of the matrix scaled to unit diagonal. Columns that depend on one another (two peaks at one
 * place) make it singular in double precision: then the diagonal is raised, by no more than it needs.
 */
function factorScaled(matrix: Float64Array, n: number) {
  const scale = new Float64Array(n);
  for (let i = 0; i < n; i++) scale[i] = matrix[i * n + i] > 0 ? 1 / Math.sqrt(matrix[i * n + i]) : 0;
  const scaled = new Float64Array(n * n);
  for (let r = 0; r < n; r++)
    for (let c = 0; c < n; c++) scaled[r * n + c] = matrix[r * n + c] * scale[r] * scale[c];
  for (let raise = 0; ; raise = raise === 0 ? 1e-13 : raise * 100) {
    for (let r = 0; r < n; r++) scaled[r * n + r] = 1 + raise;
    try {
      return { factor: choleskyFactor(scaled, n), scale };
    } catch (error) {
      if (raise > 1e-3) throw error;
    }
  }
}

import { choleskyFactor, choleskySolve } from "../../toolkit/numeric/dense.js";

/** λD′D of second differences, row-major, built from D itself. */
export function penaltyMatrix(n: number, lambda: number): Float64Array {
  const out = new Float64Array(n * n);
  for (let row = 0; row < n - 2; row++) {
    const difference = [1, -2, 1];
    for (let a = 0; a < 3; a++) {
      for (let b = 0; b < 3; b++) out[(row + a) * n + row + b] += lambda * difference[a] * difference[b];
    }
  }
  return out;
}

/** Solution of (W + λD′D) z = W y by general linear algebra. */
export function denseWhittaker(y: Float64Array, w: Float64Array, lambda: number): Float64Array {
  const n = y.length;
  const matrix = penaltyMatrix(n, lambda);
  for (let i = 0; i < n; i++) matrix[i * n + i] += w[i];
  const right = y.map((value, i) => w[i] * value);
  return choleskySolve(choleskyFactor(matrix, n), right, n);
}

export function largestDifference(a: Float64Array, b: Float64Array): number {
  return a.reduce((most, value, i) => Math.max(most, Math.abs(value - b[i])), 0);
}

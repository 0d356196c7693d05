import { choleskyFactor, choleskySolve } from "./cholesky.js";

/** Raise of the unit diagonal that keeps nearly dependent columns apart in double precision. */
const RIDGE = 1e-11;

/**
 * Non-negative least squares from the normal matrix: the x ≥ 0 that minimises xᵀGx − 2gᵀx, by the active-set
 * method of Lawson and Hanson.
 *
 * For few columns and many solves with the same data this is far cheaper than working on the data itself; in
 * return coefficients of nearly dependent columns are only determined as a group. Columns are scaled to unit
 * length and the diagonal raised by 10⁻¹¹.
 *
 * @param gram G = AᵀA, row-major n × n
 * @param right g = Aᵀb
 * @source C. L. Lawson, R. J. Hanson, Solving Least Squares Problems, Prentice-Hall 1974, ch. 23
 */
export function nonNegativeFromNormal(gram: Float64Array, right: Float64Array, n: number): Float64Array {
  const scale = new Float64Array(n);
  for (let i = 0; i < n; i++) scale[i] = gram[i * n + i] > 0 ? 1 / Math.sqrt(gram[i * n + i]) : 0;
  const x = new Float64Array(n);
  const active: number[] = [];
  const largest = right.reduce((most, value, i) => Math.max(most, Math.abs(value * scale[i])), 0);
  for (let round = 0; round < 3 * n; round++) {
    const entering = steepest(gram, right, x, scale, active, 1e-10 * largest);
    if (entering < 0) break;
    active.push(entering);
    for (;;) {
      const trial = solveActive(gram, right, n, scale, active);
      let step = 1;
      for (let k = 0; k < active.length; k++) {
        if (trial[k] <= 0) step = Math.min(step, x[active[k]] / (x[active[k]] - trial[k]) || 0);
      }
      for (let k = 0; k < active.length; k++) x[active[k]] += step * (trial[k] - x[active[k]]);
      if (step === 1) break;
      const before = active.length;
      for (let k = active.length - 1; k >= 0; k--) {
        if (x[active[k]] <= 1e-14 * (scale[active[k]] > 0 ? largest * scale[active[k]] : 1)) {
          x[active[k]] = 0;
          active.splice(k, 1);
        }
      }
      if (active.length === before || active.length === 0) break;
    }
  }
  return x;
}

/** Column outside the active set along which the residual still points most; −1 for none. */
function steepest(
  gram: Float64Array,
  right: Float64Array,
  x: Float64Array,
  scale: Float64Array,
  active: readonly number[],
  least: number,
): number {
  const n = x.length;
  let best = -1;
  let most = least;
  for (let i = 0; i < n; i++) {
    if (scale[i] === 0 || active.includes(i)) continue;
    let gradient = right[i];
    for (let k = 0; k < active.length; k++) gradient -= gram[i * n + active[k]] * x[active[k]];
    if (gradient * scale[i] > most) {
      most = gradient * scale[i];
      best = i;
    }
  }
  return best;
}

function solveActive(
  gram: Float64Array,
  right: Float64Array,
  n: number,
  scale: Float64Array,
  active: readonly number[],
): Float64Array {
  const m = active.length;
  const matrix = new Float64Array(m * m);
  const rhs = new Float64Array(m);
  for (let r = 0; r < m; r++) {
    for (let c = 0; c < m; c++)
      matrix[r * m + c] = gram[active[r] * n + active[c]] * scale[active[r]] * scale[active[c]];
    matrix[r * m + r] += RIDGE;
    rhs[r] = right[active[r]] * scale[active[r]];
  }
  return choleskySolve(choleskyFactor(matrix, m), rhs, m).map((value, k) => value * scale[active[k]]);
}

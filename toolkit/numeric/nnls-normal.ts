import { IonbookError } from "../errors.js";

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
  const system: ActiveSystem = { factor: new Float64Array(n * n), trial: new Float64Array(n), rows: 0 };
  const largest = right.reduce((most, value, i) => Math.max(most, Math.abs(value * scale[i])), 0);
  for (let round = 0; round < 3 * n; round++) {
    const entering = steepest(gram, right, x, scale, active, 1e-10 * largest);
    if (entering < 0) break;
    active.push(entering);
    for (;;) {
      const trial = solveActive(gram, right, n, scale, active, system);
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
          system.rows = Math.min(system.rows, k);
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

/** Memory of one call: what was factorised for the columns that stay needs no second time. */
interface ActiveSystem {
  /** Cholesky factor of the active columns' matrix, n numbers a row; its first `rows` rows hold. */
  readonly factor: Float64Array;
  readonly trial: Float64Array;
  rows: number;
}

/** Coefficients of the active columns alone, in `trial`, the order of `active`. */
function solveActive(
  gram: Float64Array,
  right: Float64Array,
  n: number,
  scale: Float64Array,
  active: readonly number[],
  system: ActiveSystem,
): Float64Array {
  const { factor, trial } = system;
  const m = active.length;
  for (let i = system.rows; i < m; i++) factorRow(gram, n, scale, active, factor, i);
  system.rows = m;
  for (let i = 0; i < m; i++) {
    let sum = right[active[i]] * scale[active[i]];
    for (let k = 0; k < i; k++) sum -= factor[i * n + k] * trial[k];
    trial[i] = sum / factor[i * n + i];
  }
  for (let i = m - 1; i >= 0; i--) {
    let sum = trial[i];
    for (let k = i + 1; k < m; k++) sum -= factor[k * n + i] * trial[k];
    trial[i] = sum / factor[i * n + i];
  }
  for (let i = 0; i < m; i++) trial[i] *= scale[active[i]];
  return trial;
}

/** Row i of the factor of the scaled matrix, from the rows above it. */
function factorRow(
  gram: Float64Array,
  n: number,
  scale: Float64Array,
  active: readonly number[],
  factor: Float64Array,
  i: number,
): void {
  const own = active[i];
  for (let j = 0; j <= i; j++) {
    let sum = gram[own * n + active[j]] * scale[own] * scale[active[j]];
    if (j === i) sum += RIDGE;
    for (let k = 0; k < j; k++) sum -= factor[i * n + k] * factor[j * n + k];
    if (j < i) factor[i * n + j] = sum / factor[j * n + j];
    else if (sum > 0 && sum < Infinity) factor[i * n + i] = Math.sqrt(sum);
    else
      throw new IonbookError(
        "not-positive-definite",
        `Column ${own + 1} depends on the columns already in use: leave one of them out`,
      );
  }
}

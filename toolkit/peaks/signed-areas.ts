import { solveSymmetric } from "../numeric/symmetric-system.js";

/** Share of its own right side by which a left-out column must point upwards to be let in again. */
const UPWARDS = 1e-10;

/**
 * The x that minimises xᵀGx − 2gᵀx with x ≥ 0 wherever it is not `free`, into `out`.
 *
 * Almost always nothing is negative and one solution does. Otherwise the most negative is left out, one at a time, and
 * one that would then come out positive is let in again, once each, so that it ends.
 *
 * @param gram row-major m × m
 */
export function solveAreas(
  gram: Float64Array,
  right: Float64Array,
  free: readonly boolean[],
  out: Float64Array,
): void {
  const m = right.length;
  const active = Array.from({ length: m }, (_, c) => c);
  const returned = new Set<number>();
  for (;;) {
    const solution = active.length > 0 ? solveFor(gram, right, active) : new Float64Array(0);
    let worst = -1;
    for (let r = 0; r < active.length; r++) {
      if (!free[active[r]] && solution[r] < 0 && (worst < 0 || solution[r] < solution[worst])) worst = r;
    }
    if (worst >= 0) {
      active.splice(worst, 1);
      continue;
    }
    out.fill(0);
    for (let r = 0; r < active.length; r++) out[active[r]] = solution[r];
    if (active.length === m) return;
    const entering = steepest(gram, right, active, returned, out);
    if (entering < 0) return;
    returned.add(entering);
    active.push(entering);
  }
}

function solveFor(gram: Float64Array, right: Float64Array, active: readonly number[]): Float64Array {
  const m = right.length;
  const k = active.length;
  if (k === m && active.every((c, r) => c === r)) return solveSymmetric(gram, right, m);
  const matrix = new Float64Array(k * k);
  for (let r = 0; r < k; r++) for (let c = 0; c < k; c++) matrix[r * k + c] = gram[active[r] * m + active[c]];
  return solveSymmetric(
    matrix,
    Float64Array.from(active, (c) => right[c]),
    k,
  );
}

/** The column left out, and not yet returned, along which the sum of squares falls most; −1 for none. */
function steepest(
  gram: Float64Array,
  right: Float64Array,
  active: readonly number[],
  returned: ReadonlySet<number>,
  x: Float64Array,
): number {
  const m = right.length;
  let best = -1;
  let most = 0;
  for (let c = 0; c < m; c++) {
    if (active.includes(c) || returned.has(c)) continue;
    let slope = right[c];
    for (let k = 0; k < m; k++) slope -= gram[c * m + k] * x[k];
    const fall = slope / Math.sqrt(gram[c * m + c]);
    if (slope > UPWARDS * Math.abs(right[c]) && fall > most) [best, most] = [c, fall];
  }
  return best;
}

import { ScaledSolver } from "../../numeric/scaled-solver.js";
import type { Arena } from "../../numeric/scratch.js";

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
  memory: AreaMemory,
): void {
  const m = right.length;
  const { active, solution } = memory;
  let count = m;
  for (let c = 0; c < m; c++) active[c] = c;
  let returned: Set<number> | undefined;
  for (;;) {
    for (let r = 0; r < count; r++) solution[r] = right[active[r]];
    memory.solver.solve(gram, m, active, count, 0, 0, solution);
    const worst = mostNegative(solution, active, count, free);
    if (worst >= 0) {
      count--;
      for (let r = worst; r < count; r++) active[r] = active[r + 1];
      continue;
    }
    out.fill(0);
    for (let r = 0; r < count; r++) out[active[r]] = solution[r];
    if (count === m) return;
    returned ??= new Set();
    const entering = steepest(gram, right, active.subarray(0, count), returned, out);
    if (entering < 0) return;
    returned.add(entering);
    active[count++] = entering;
  }
}

/** What `solveAreas` works in, for up to a given number of unknowns. */
export class AreaMemory {
  readonly solver: ScaledSolver;
  /** The columns that are counted, in the order they came. */
  readonly active: Int32Array;
  readonly solution: Float64Array;

  constructor(most: number, arena: Arena) {
    this.solver = new ScaledSolver(most, arena);
    this.active = new Int32Array(most);
    this.solution = arena.take(most);
  }

  static room(most: number): number {
    return ScaledSolver.room(most) + most;
  }
}

/** Place of the most negative among those that may not be; −1 for none. */
function mostNegative(
  solution: Float64Array,
  active: Int32Array,
  count: number,
  free: readonly boolean[],
): number {
  let worst = -1;
  for (let r = 0; r < count; r++) {
    if (!free[active[r]] && solution[r] < 0 && (worst < 0 || solution[r] < solution[worst])) worst = r;
  }
  return worst;
}

/** The column left out, and not yet returned, along which the sum of squares falls most; −1 for none. */
function steepest(
  gram: Float64Array,
  right: Float64Array,
  active: Int32Array,
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

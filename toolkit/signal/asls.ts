import { createWhittakerSolver } from "../numeric/whittaker.js";
import type { ArplsOptions, ReweightedBaseline } from "./arpls.js";

/**
 * Baseline by asymmetric least squares (AsLS): weight p above the curve, 1 − p below, p = 0.001.
 *
 * Offered for comparison: it rides the lower edge of the noise, and a giant peak still pulls it up.
 *
 * @param y evenly sampled signal, any unit, at least 3 points
 * @param lambda stiffness, see `stiffnessFor`
 * @source Eilers and Boelens 2005 (from memory); p = 0.001 is common practice, no source
 */
export function asls(y: Float64Array, lambda: number, options: ArplsOptions = {}): ReweightedBaseline {
  const { maxIterations = 60 } = options;
  const p = 0.001;
  const n = y.length;
  const solver = createWhittakerSolver(n);
  const z = new Float64Array(n);
  const w = new Float64Array(n).fill(1);
  let iterations = 0;
  let moved = 1;
  while (iterations < maxIterations && moved > 0) {
    iterations++;
    solver.solveInto(z, y, w, lambda);
    moved = 0;
    for (let i = 0; i < n; i++) {
      const next = y[i] > z[i] ? p : 1 - p;
      if (next !== w[i]) moved++;
      w[i] = next;
    }
  }
  return { values: z, weights: w, iterations, converged: moved === 0 };
}

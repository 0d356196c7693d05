import { borrow, giveBack } from "../numeric/scratch.js";
import { type ArplsMemory, FIRST_TURN, reweightAndEliminate, substituteAndMeasure } from "./arpls-turn.js";
import {
  type IndexStretch,
  type ReweightedBaseline,
  type ReweightOptions,
  solveStiffly,
} from "./reweighted.js";

/**
 * Baseline by asymmetrically re-weighted penalised least squares (arPLS).
 *
 * Alternates the Whittaker solve with weights w = 1/(1 + exp(2(r − (2s − m))/s)), r = y − z, m and s mean and
 * standard deviation (divisor n) of the negative r, until |w − w′|/|w| < tolerance. O(n) per turn, no
 * allocation inside the loop. For λ > 10¹² the record is averaged in blocks, solved, and interpolated.
 *
 * @param y evenly sampled signal, any unit, at least 3 points
 * @param lambda stiffness, see `stiffnessFor`
 * @source S.-J. Baek et al., Analyst 140 (2015) 250 (from memory)
 */
export function arpls(y: Float64Array, lambda: number, options: ReweightOptions = {}): ReweightedBaseline {
  return solveStiffly(y, lambda, options.excluded ?? [], (signal, stiffness, excluded) =>
    settle(signal, stiffness, { ...options, excluded }),
  );
}

function settle(y: Float64Array, stiffness: number, options: ReweightOptions): ReweightedBaseline {
  const { tolerance = 1e-3, maxIterations = 60, excluded = [] } = options;
  const memory = memoryFor(liftedOver(y, excluded));
  const own = memory.r;
  liftResiduals(memory, excluded);
  let { scale, threshold } = FIRST_TURN;
  let iterations = 0;
  let converged = false;
  reweightAndEliminate(memory, stiffness, scale, threshold);
  while (iterations < maxIterations && !converged) {
    iterations++;
    substituteAndMeasure(memory);
    const [count, sum, squares] = memory.below;
    const m = count === 0 ? 0 : sum / count;
    const s = count === 0 ? 0 : Math.sqrt(Math.max(squares / count - m * m, 0));
    // Nothing below the baseline, or all of it equally far: no weight would change.
    if (s === 0) return settled(memory, own, iterations, true);
    scale = 2 / s;
    threshold = 2 * s - m;
    converged = reweightAndEliminate(memory, stiffness, scale, threshold) < tolerance;
  }
  return settled(memory, own, iterations, converged);
}

/** An excluded sample is held this many spans of the record above it, so that no turn counts it. */
const LIFT = 100;

function liftedOver(y: Float64Array, excluded: readonly IndexStretch[]): Float64Array {
  if (excluded.length === 0) return y;
  let low = y[0];
  let high = y[0];
  for (const value of y) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const lifted = y.slice();
  for (const [first, last] of excluded) lifted.fill(high + LIFT * (high - low || 1), first, last + 1);
  return lifted;
}

/** In the first turn, which counts everything else, residuals beyond the threshold keep excluded samples out. */
function liftResiduals({ r }: ArplsMemory, excluded: readonly IndexStretch[]): void {
  for (const [first, last] of excluded) r.fill(LIFT, first, last + 1);
}

function memoryFor(y: Float64Array): ArplsMemory {
  const n = y.length;
  const [u, v, q] = [borrow(n), borrow(n), borrow(n)];
  return {
    y,
    r: new Float64Array(n),
    w: new Float64Array(n).fill(1),
    u,
    v,
    q,
    below: new Float64Array(3),
    change: new Float64Array(2),
  };
}

/** The residuals of the last solution are turned back into the baseline, in the array that is not on loan. */
function settled(memory: ArplsMemory, own: Float64Array, iterations: number, converged: boolean) {
  const { y, w, r, u, v, q } = memory;
  for (let i = 0; i < y.length; i++) own[i] = y[i] - r[i];
  giveBack(u, v, r === own ? q : r);
  return { values: own, weights: w, iterations, converged };
}

/**
 * Stiffness from peak width and sampling rate: λ = (k·σ·f_s)⁴.
 *
 * λ^(1/4) is a length in samples; k = 2 times the widest peak's standard deviation keeps the peaks out of the
 * baseline while waves longer than about 40 σ are followed to 1 %.
 *
 * @param peakWidth standard deviation of the widest peak of interest, min
 * @param interval sampling interval, min
 * @source gain of the unweighted Whittaker filter 1/(1 + (ω/α)⁴), α = λ^(−1/4) (derived)
 */
export function stiffnessFor(peakWidth: number, interval: number, k = 2): number {
  return ((k * peakWidth) / interval) ** 4;
}

import { type ArplsMemory, FIRST_TURN, reweightAndEliminate, substituteAndMeasure } from "./arpls-turn.js";
import { blocksFor, boundedStiffness, expandBlocks } from "./block-average.js";

export interface ReweightedBaseline {
  readonly values: Float64Array;
  readonly weights: Float64Array;
  readonly iterations: number;
  /** True when the weights settled within the tolerance, false when the iteration limit ended the loop. */
  readonly converged: boolean;
}

export interface ArplsOptions {
  /** Relative change of the weights at which the loop ends. @default 1e-3 */
  readonly tolerance?: number;
  /** @default 60 */
  readonly maxIterations?: number;
}

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
export function arpls(y: Float64Array, lambda: number, options: ArplsOptions = {}): ReweightedBaseline {
  const blocks = blocksFor(y, lambda);
  if (blocks) {
    const solved = settle(blocks.means, blocks.lambda, options);
    const [values, weights] = [solved.values, solved.weights].map((coarse) => expandBlocks(coarse, y.length));
    return { ...solved, values, weights };
  }
  return settle(y, lambda, options);
}

function settle(y: Float64Array, lambda: number, options: ArplsOptions): ReweightedBaseline {
  const { tolerance = 1e-3, maxIterations = 60 } = options;
  if (!(y.length >= 3)) throw new RangeError(`a baseline needs at least 3 points, got ${y.length}`);
  const memory = memoryFor(y);
  const stiffness = boundedStiffness(lambda, y.length);
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
    if (s === 0) return settled(memory, iterations, true);
    scale = 2 / s;
    threshold = 2 * s - m;
    converged = reweightAndEliminate(memory, stiffness, scale, threshold) < tolerance;
  }
  return settled(memory, iterations, converged);
}

function memoryFor(y: Float64Array): ArplsMemory {
  const n = y.length;
  const [r, u, v, q] = [0, 1, 2, 3].map(() => new Float64Array(n));
  return {
    y,
    r,
    w: new Float64Array(n).fill(1),
    u,
    v,
    q,
    below: new Float64Array(3),
    change: new Float64Array(2),
  };
}

/** The residuals of the last solution are turned back into the baseline, in place. */
function settled({ y, r, w }: ArplsMemory, iterations: number, converged: boolean): ReweightedBaseline {
  for (let i = 0; i < y.length; i++) r[i] = y[i] - r[i];
  return { values: r, weights: w, iterations, converged };
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

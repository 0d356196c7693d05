import { fastExp } from "../numeric/fast-exp.js";
import { createWhittakerSolver } from "../numeric/whittaker.js";

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

/** Beyond this stiffness double precision loses the solution: the record is averaged in blocks first. */
const LARGEST_LAMBDA = 1e12;
/** Samples a block-averaged record keeps per λ^(1/4): ten per peak s.d. when λ^(1/4) is two of them. */
const SAMPLES_KEPT = 20;

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
  if (lambda > LARGEST_LAMBDA) return arplsInBlocks(y, lambda, options);
  const { tolerance = 1e-3, maxIterations = 60 } = options;
  const n = y.length;
  const solver = createWhittakerSolver(n);
  const z = new Float64Array(n);
  const w = new Float64Array(n).fill(1);
  let iterations = 0;
  let converged = false;
  while (iterations < maxIterations && !converged) {
    iterations++;
    solver.solveInto(z, y, w, lambda);
    const change = reweight(w, y, z);
    converged = change < tolerance;
  }
  return { values: z, weights: w, iterations, converged };
}

/** Updates the weights in place and returns their relative change; 0 when nothing lies below the baseline. */
function reweight(w: Float64Array, y: Float64Array, z: Float64Array): number {
  const n = y.length;
  let count = 0;
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < n; i++) {
    const r = y[i] - z[i];
    if (r < 0) {
      count++;
      sum += r;
      squares += r * r;
    }
  }
  if (count === 0) return 0;
  const m = sum / count;
  const s = Math.sqrt(Math.max(squares / count - m * m, 0));
  if (s === 0) return 0;
  const scale = 2 / s;
  const threshold = 2 * s - m;
  let before = 0;
  let moved = 0;
  for (let i = 0; i < n; i++) {
    const old = w[i];
    const next = 1 / (1 + fastExp(scale * (y[i] - z[i] - threshold)));
    before += old * old;
    moved += (next - old) * (next - old);
    w[i] = next;
  }
  return Math.sqrt(moved / before);
}

function arplsInBlocks(y: Float64Array, lambda: number, options: ArplsOptions): ReweightedBaseline {
  const length = lambda ** 0.25;
  const block = Math.max(2, Math.floor(length / SAMPLES_KEPT));
  const blocks = Math.floor(y.length / block);
  const coarse = new Float64Array(blocks);
  for (let b = 0; b < blocks; b++) {
    let sum = 0;
    for (let i = b * block; i < (b + 1) * block; i++) sum += y[i];
    coarse[b] = sum / block;
  }
  const solved = arpls(coarse, (length / block) ** 4, options);
  const expand = (from: Float64Array): Float64Array => {
    const out = new Float64Array(y.length);
    for (let i = 0; i < y.length; i++) {
      const at = (i + 0.5) / block - 0.5;
      const b = Math.min(Math.max(Math.floor(at), 0), blocks - 2);
      out[i] = from[b] + (at - b) * (from[b + 1] - from[b]);
    }
    return out;
  };
  return { ...solved, values: expand(solved.values), weights: expand(solved.weights) };
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

import { createWhittakerSolver } from "../numeric/whittaker.js";
import {
  blockCount,
  blocksFor,
  boundedStiffness,
  expandBlocks,
  gatherBlocks,
  lowestInBlocks,
  spreadBlocks,
} from "./block-average.js";

/** Weight of a sample under a peak: not zero, so that the elimination stays sound over long gaps. */
const UNDER_A_PEAK = 1e-9;

/** A baseline that was drawn only through samples known to be free of peaks: exactly linear in the signal. */
export interface MaskedBaseline {
  readonly values: Float64Array;
  readonly weights: Float64Array;
  readonly lambda: number;
}

/**
 * Baseline through the peak-free samples, smoothly interpolated beneath the peaks.
 *
 * Minimises Σ w(y − z)² + λ Σ(Δ²z)² with w = 1 where a sample is free and almost 0 under a peak. Unlike a
 * re-weighted baseline it does not creep up the flanks of small peaks, so their areas lose nothing, and being
 * linear in y its uncertainty is known in closed form (`areaResponse`).
 *
 * @param y evenly sampled signal
 * @param free 1 for samples free of peaks
 * @param lambda stiffness, see `stiffnessFor`
 */
export function maskedBaseline(y: Float64Array, free: Uint8Array, lambda: number): MaskedBaseline {
  const n = y.length;
  const weights = Float64Array.from(free, (value) => (value ? 1 : UNDER_A_PEAK));
  const blocks = blocksFor(y, lambda);
  const drawn = new Float64Array(blocks?.count ?? n);
  const solver = createWhittakerSolver(drawn.length);
  if (!blocks) solver.solveInto(drawn, y, weights, boundedStiffness(lambda, n));
  else {
    const coarse = lowestInBlocks(weights, blocks.count);
    solver.solveInto(drawn, blocks.means, coarse, boundedStiffness(blocks.lambda, blocks.count));
  }
  return { values: blocks ? expandBlocks(drawn, n) : drawn, weights, lambda };
}

/** Weights of a stretch of the record in an area, and where the stretch begins. */
export interface AreaResponse {
  readonly first: number;
  readonly weights: Float64Array;
}

/** Beyond this many λ^(1/4) from the window a sample no longer bears on the baseline under it. */
const REACH = 12;

/**
 * How an area Σ aᵢ(yᵢ − zᵢ) over a window depends on every sample of the record around it, baseline included:
 * h = a − W(W + λD′D)⁻¹a.
 *
 * @param shares a, over the window that starts at sample `first`
 */
export function areaResponse(baseline: MaskedBaseline, first: number, shares: Float64Array): AreaResponse {
  const { weights, lambda } = baseline;
  const reach = Math.ceil(REACH * lambda ** 0.25);
  const from = Math.max(0, first - reach);
  const to = Math.min(weights.length, first + shares.length + reach);
  const right = new Float64Array(to - from);
  right.set(shares.subarray(0, weights.length - first), first - from);
  const local = weights.subarray(from, to);
  const pulled = pullOfBaseline(right, local, lambda);
  return { first: from, weights: right.map((a, i) => a - pulled[i]) };
}

/** ∂(Σ aᵢzᵢ)/∂y: W(W + λD′D)⁻¹a, or the same through block averages, each step transposed in reverse order. */
function pullOfBaseline(right: Float64Array, weights: Float64Array, lambda: number): Float64Array {
  const n = right.length;
  const count = blockCount(n, lambda);
  const solved = new Float64Array(count ?? n);
  const solver = createWhittakerSolver(solved.length);
  if (count === undefined) {
    solver.solveRightInto(solved, right, weights, boundedStiffness(lambda, n));
    return solved.map((value, i) => weights[i] * value);
  }
  const coarse = lowestInBlocks(weights, count);
  const stiffness = boundedStiffness(lambda * (count / n) ** 4, count);
  solver.solveRightInto(solved, gatherBlocks(right, count), coarse, stiffness);
  return spreadBlocks(
    solved.map((value, b) => coarse[b] * value),
    n,
  );
}

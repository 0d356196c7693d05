import { createWhittakerSolver } from "../numeric/whittaker.js";

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
  const weights = Float64Array.from(free, (value) => (value ? 1 : UNDER_A_PEAK));
  const values = new Float64Array(y.length);
  createWhittakerSolver(y.length).solveInto(values, y, weights, lambda);
  return { values, weights, lambda };
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
  const solved = new Float64Array(to - from);
  createWhittakerSolver(to - from).solveRightInto(solved, right, local, lambda);
  return { first: from, weights: right.map((a, i) => a - local[i] * solved[i]) };
}

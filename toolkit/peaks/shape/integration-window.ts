import { emgApexShift } from "./emg.js";

/** Shape of a peak in samples. */
export interface ShapeInSamples {
  readonly sigma: number;
  readonly tau: number;
}

/** How far the window reaches from the apex, in σ (both sides) and τ (behind). */
const FRONT_SIGMA = 4.2;
const BEHIND_SIGMA = 4.2;
const BEHIND_TAU = 5;

/**
 * First and last sample over which a peak is summed: fixed multiples of its own width about the apex, so that
 * the same fraction of every peak of one ion is counted, small or large, found or not.
 *
 * @param apex index, may be fractional
 * @param widening measured width over expected width, at least 1: an overloaded peak gets a wider window
 */
export function integrationWindow(
  apex: number,
  shape: ShapeInSamples,
  widening: number,
  length: number,
): readonly [first: number, last: number] {
  const reach = widening * shape.sigma;
  const first = Math.round(apex - FRONT_SIGMA * reach);
  const last = Math.round(apex + BEHIND_SIGMA * reach + BEHIND_TAU * shape.tau);
  return [Math.max(first, 0), Math.min(last, length - 1)];
}

/** Index of the lowest point between two apexes. */
export function valleyBetween(smooth: Float64Array, left: number, right: number): number {
  let lowest = Math.round(left);
  const last = Math.min(Math.round(right), smooth.length - 1);
  for (let i = lowest; i <= last; i++) if (smooth[i] < smooth[lowest]) lowest = i;
  return lowest;
}

/** Full width at half height of an EMG shape over its σ, from the fit W½/σ ≈ 2.3548·√(1 + 0.25 r²) (r = τ/σ ≤ 1). */
export function relativeHalfWidth(shape: ShapeInSamples): number {
  const r = shape.tau / shape.sigma;
  return 2.3548 * Math.sqrt(1 + 0.3 * r * r + 0.2 * r ** 3);
}

/** Gaussian centre of an EMG whose apex stands at `apex`. */
export function centreFromApex(apex: number, shape: ShapeInSamples): number {
  return apex - emgApexShift(shape.tau / shape.sigma) * shape.sigma;
}

import { medianInPlace } from "../numeric/robust.js";

/** Residuals further out than so many standard deviations count for nothing: 95 % efficient under normal noise. */
const BIWEIGHT = 4.685;
/** Lags, in values, over which residuals are taken to hang together at most. */
const LAGS = 8;

/**
 * Tukey's biweights on both sides of what a fit leaves: a system peak of another height is neither programme nor wander,
 * and a baseline's own weights let only what stands above it go.
 *
 * @param weights ≥ 0, @param left what the fit leaves, of the same length
 * @returns new weights
 * @source J.W. Tukey's biweight, constant of F. Mosteller and J.W. Tukey (1977) (from memory)
 */
export function withoutOutliers(weights: Float64Array, left: Float64Array): Float64Array {
  const half = 0.5 * largest(weights);
  const counted = left.filter((_, i) => weights[i] > half).map(Math.abs);
  const reach = Math.max((BIWEIGHT * medianInPlace(counted)) / 0.6745, Number.MIN_VALUE);
  return weights.map((weight, i) => {
    const u = left[i] / reach;
    return Math.abs(u) < 1 ? weight * (1 - u * u) ** 2 : 0;
  });
}

/**
 * Variance of a residual of weight 1 as a sum over many of them feels it: neighbours that deviate together are summed up
 * to the first lag at which they no longer do.
 */
export function longRunVariance(weights: Float64Array, left: Float64Array): number {
  const top = largest(weights);
  if (!(top > 0)) return 0;
  const r = left.map((value, i) => (weights[i] / top) * value);
  const counted = weights.reduce((sum, weight) => sum + (weight / top) ** 2, 0);
  let total = lagged(r, 0);
  for (let lag = 1; lag <= LAGS; lag++) {
    const together = lagged(r, lag);
    if (together <= 0) break;
    total += 2 * together;
  }
  return (top * total) / counted;
}

function lagged(r: Float64Array, lag: number): number {
  let sum = 0;
  for (let i = lag; i < r.length; i++) sum += r[i] * r[i - lag];
  return sum;
}

function largest(values: Float64Array): number {
  return values.reduce((most, value) => Math.max(most, value), 0);
}

import type { Autocovariance } from "./autocovariance.js";

/** The logarithmic decline beyond the last lag counts when it exceeds this many of its standard errors on white noise. */
const SIGNIFICANT = 4;
/** Blocks per longest lag for what is slower than it. */
const BLOCKS_PER_LAG = 8;

/**
 * Standard uncertainty that noise gives to Σ h(i)·y(i): √(hΓh′), Γ(i, j) = γ(|i − j|), in the signal's unit times
 * that of the weights (for an area in unit·min the weights carry the interval in min).
 *
 * The weights are those of an area together with the baseline under it: they sum to about zero, which makes the
 * result blind to whatever is constant along the record. A plain sum without baseline misses the slow part that the
 * straight line took out of the blank.
 *
 * Beyond the last stored lag L the covariance is continued as noise of 1/f kind declines, γ(L) − c·ln(k/L) with c
 * from the lags L/4…L (0 where that is not significant), up to the length of the blank. It is not simply set to
 * zero: a step there would count noise twice or not at all, by the signs of the weights. Of this continuation and the
 * same one stopped at zero, the one with the larger result counts, so that long windows are never understated.
 * Never less than what is white, √((γ(0) − γ(1))·Σh²). O(n·lags).
 *
 * @param weights one for each sample in turn, at the interval of the autocovariance
 * @source propagation of covariance: JCGM 102:2011, 6.2; the logarithm is the covariance of 1/f noise (derived)
 */
export function weightedNoise(weights: Float64Array, { values, span, samples }: Autocovariance): number {
  const lags = values.length - 1;
  const tail = slowTail(values, samples);
  let near = 0;
  let squares = 0;
  for (let lag = 0; lag <= lags; lag++) {
    const product = laggedProduct(weights, lag);
    if (lag === 0) squares = product;
    near += (lag === 0 ? 1 : 2) * (values[lag] - tail.level) * product;
  }
  const declining = slowPart(weights, lags, span, tail, Number.NEGATIVE_INFINITY);
  const stopped = slowPart(weights, lags, span, tail, Math.min(tail.level, 0));
  const white = Math.min(values[0] - values[1], values[0]) * squares;
  return Math.sqrt(Math.max(near + Math.max(declining, stopped), white, 0));
}

function laggedProduct(h: Float64Array, lag: number): number {
  let sum = 0;
  for (let i = lag; i < h.length; i++) sum += h[i] * h[i - lag];
  return sum;
}

/** Level at the last lag and decline per e-fold of lag, both non-negative unless the level is found negative. */
interface SlowTail {
  readonly level: number;
  readonly decline: number;
}

function slowTail(values: Float64Array, samples: number): SlowTail {
  const last = values.length - 1;
  const first = Math.max(1, last >> 2);
  const count = last - first + 1;
  if (count < 4) return { level: 0, decline: 0 };
  let meanX = 0;
  let meanY = 0;
  for (let lag = first; lag <= last; lag++) {
    meanX += Math.log(lag / last) / count;
    meanY += values[lag] / count;
  }
  let sxx = 0;
  let sxy = 0;
  for (let lag = first; lag <= last; lag++) {
    const x = Math.log(lag / last) - meanX;
    sxx += x * x;
    sxy += x * (values[lag] - meanY);
  }
  const decline = -sxy / sxx;
  const error = values[0] / Math.sqrt(samples * sxx);
  if (decline > SIGNIFICANT * error) return { level: meanY + decline * meanX, decline };
  return {
    level: Math.abs(meanY) > (SIGNIFICANT * values[0]) / Math.sqrt(samples * count) ? meanY : 0,
    decline: 0,
  };
}

/** Share of what is constant up to the last lag and declines beyond it, from sums of the weights over blocks. */
function slowPart(
  weights: Float64Array,
  lags: number,
  span: number,
  { level, decline }: SlowTail,
  floor: number,
): number {
  if (level === 0 && decline === 0) return 0;
  const size = Math.max(1, Math.floor(lags / BLOCKS_PER_LAG));
  const sums = new Float64Array(Math.ceil(weights.length / size));
  for (let i = 0; i < weights.length; i++) sums[Math.floor(i / size)] += weights[i];
  let total = 0;
  for (let apart = 0; apart < sums.length; apart++) {
    const lag = Math.min(apart * size, Math.max(span, lags));
    const covariance = lag <= lags ? level : Math.max(level - decline * Math.log(lag / lags), floor);
    total += (apart === 0 ? 1 : 2) * covariance * laggedProduct(sums, apart);
  }
  return total;
}

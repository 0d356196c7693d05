import { kthSmallestInPlace } from "../../numeric/robust.js";
import { convolve } from "../../signal/smooth.js";

/**
 * Response of the negative second derivative of a Gaussian of standard deviation `scale` samples: zero area,
 * so blind to level and slope, and largest where a peak of that width stands.
 */
export function secondDerivativeFilter(y: Float64Array, scale: number): Float64Array {
  const half = Math.ceil(5 * scale);
  const kernel = new Float64Array(2 * half + 1);
  let sum = 0;
  for (let k = -half; k <= half; k++) {
    const x = k / scale;
    sum += kernel[k + half] = ((1 - x * x) * Math.exp(-0.5 * x * x)) / (scale ** 3 * Math.sqrt(2 * Math.PI));
  }
  const mean = sum / kernel.length;
  for (let k = 0; k < kernel.length; k++) kernel[k] -= mean;
  return convolve(y, kernel);
}

/** The filter's answer at every `step`-th place of a record. */
export interface FilterResponse {
  readonly values: Float64Array;
  /** Samples between two values; value k stands at sample k·step + (step − 1)/2. */
  readonly step: number;
}

/** Values kept per scale. */
const VALUES_PER_SCALE = 8;

/**
 * The same from means of neighbouring samples where the scale is long: eight values per scale lose nothing of an
 * answer that wide, and the work no longer grows with the sampling rate. The means widen the filter by (step² − 1)/12,
 * which is taken off its scale. O(n).
 */
export function sparseResponse(y: Float64Array, scale: number): FilterResponse {
  const step = Math.max(1, Math.floor(scale / VALUES_PER_SCALE));
  if (step === 1) return { values: secondDerivativeFilter(y, scale), step };
  const means = blockMeans(y, step);
  const values = secondDerivativeFilter(means, Math.sqrt(scale * scale - (step * step - 1) / 12) / step);
  const perSample = 1 / (step * step);
  for (let k = 0; k < values.length; k++) values[k] *= perSample;
  return { values, step };
}

function blockMeans(y: Float64Array, step: number): Float64Array {
  const means = new Float64Array(Math.floor(y.length / step));
  for (let k = 0; k < means.length; k++) {
    let sum = 0;
    for (let i = k * step; i < (k + 1) * step; i++) sum += y[i];
    means[k] = sum / step;
  }
  return means;
}

/** Rounds of leaving out peaks. */
const MOST_TURNS = 8;
/** Fewer values say nothing about a spread. */
const FEWEST_VALUES = 20;

/**
 * With the peaks some noise is left out, and just the largest: beyond 3 spreads lie 0.0056/s excursions per sample of
 * 0.48 s each, together with a scale s on both sides 1.39 % of a record without peaks. The median of the rest is
 * 1.0165 times too small (derived).
 */
const LEFT_OUT = 1.0165;

/**
 * Spread of the filter output with the peaks left out: 1.4826·MAD(r), iterated over |r| < 3 spreads with the
 * excluded stretches grown by `grow` samples on both sides, and corrected for the noise that is left out with
 * them. 0 where more than half of the output is 0. O(n).
 *
 * It is the spread of the output itself, so slow noise and pulsation count as they act on detection, which a
 * white-noise figure would miss many times over.
 */
export function robustSpread(r: Float64Array, grow: number): number {
  const sizes = new Float64Array(r.length);
  for (let i = 0; i < r.length; i++) sizes[i] = Math.abs(r[i]);
  let spread = medianSize(sizes, r.length);
  for (let turn = 0; turn < MOST_TURNS; turn++) {
    const next = LEFT_OUT * medianSize(sizes, keepQuiet(r, 3 * spread, grow, sizes));
    if (!(next > 0)) break;
    if (Math.abs(next - spread) < 1e-3 * spread) return next;
    spread = next;
  }
  return spread;
}

/** Writes the sizes of what lies further than `grow` from any value of `limit` and more; their number comes back. */
function keepQuiet(r: Float64Array, limit: number, grow: number, sizes: Float64Array): number {
  const n = r.length;
  let count = 0;
  /** End of the stretch that the last loud value spoils. */
  let spoilt = -1;
  for (let i = 0; i < n; i++) {
    if (Math.abs(r[i]) < limit) {
      if (i > spoilt) sizes[count++] = Math.abs(r[i]);
      continue;
    }
    // What was just kept before a loud value is taken back.
    count -= Math.max(0, Math.min(grow, i - spoilt - 1));
    spoilt = i + grow;
  }
  return count;
}

function medianSize(sizes: Float64Array, count: number): number {
  if (count < FEWEST_VALUES) return 0;
  return 1.4826 * kthSmallestInPlace(sizes.subarray(0, count), count >> 1);
}

import type { CorrectedView } from "./corrected-view.js";

/** Neighbours of a spike stay below this share of it: a peak sampled once per σ still gives them 0.6. */
const ALONE = 0.35;
/** A spike stands this many standard deviations above its neighbours. */
const OUTSTANDING = 5;
/** What stands around it must stay below so many standard deviations of its mean, or below this share of the spike. */
const NOTHING_ELSE = 4;
const NEGLIGIBLE = 0.1;

/**
 * Whether a candidate is one wild reading and nothing else: no peak that went through a detector stands in one sample
 * alone. A peak with a spike on it is kept, unless the spike is ten times as high as the peak's mean over ± σ.
 *
 * @param white standard deviation of single readings in the view's unit
 */
export function isSpike({ y, sigma }: CorrectedView, index: number, white: number): boolean {
  const reach = Math.max(1, Math.round(0.5 * sigma));
  let at = index;
  for (let i = Math.max(index - reach, 0); i <= Math.min(index + reach, y.length - 1); i++)
    if (y[i] > y[at]) at = i;
  const besides = 0.5 * ((y[at - 1] ?? y[at]) + (y[at + 1] ?? y[at]));
  if (!(y[at] - besides > OUTSTANDING * white)) return false;
  const half = Math.max(2, Math.round(sigma));
  const near = meanAround(y, at, 1, half);
  const far = meanAround(y, at, half + 1, 2 * half);
  const height = y[at] - far.mean;
  if (!(height > 0 && besides - far.mean < ALONE * height)) return false;
  const noise = white * Math.sqrt(1 / Math.max(near.count, 1) + 1 / Math.max(far.count, 1));
  return near.mean - far.mean < Math.max(NOTHING_ELSE * noise, NEGLIGIBLE * height);
}

/** Mean of the readings between two distances from one of them. */
function meanAround(y: Float64Array, at: number, from: number, to: number) {
  let sum = 0;
  let count = 0;
  for (let d = from; d <= to; d++) {
    for (const i of [at - d, at + d]) {
      if (i < 0 || i >= y.length) continue;
      sum += y[i];
      count++;
    }
  }
  return { mean: sum / Math.max(count, 1), count };
}

import { areaResponse } from "../../signal/masked-baseline.js";
import type { IntegrateOptions, MeasuredPeak } from "./placed-peak.js";

/** What a straight line between anchors would have made of an area; signal × samples. */
export interface BaselineComparison {
  /** Area over the anchored line less the area over the baseline that was used. */
  readonly difference: number;
  /** Scatter of that difference from noise alone. */
  readonly noise: number;
}

/** Length of an anchor in σ: at least, and at most where there is room. */
const SHORTEST_ANCHOR = 2;
const LONGEST_ANCHOR = 5;

/**
 * Compares the baseline used with the straight line between the means of peak-free stretches on both sides of a peak
 * and the peaks it touches. Undefined where a side has no such stretch.
 *
 * @param signal with its baseline
 * @param free 1 where no peak's window lies
 * @param window the peak's own window, from which anchors are looked for outwards
 * @param shares weight of each sample of `peak` in its area, from peak.first on
 */
export function compareWithAnchored(
  signal: Float64Array,
  free: Uint8Array,
  peak: Pick<MeasuredPeak, "first">,
  window: readonly [number, number],
  sigma: number,
  shares: Float64Array,
  { baseline, noise, reach }: IntegrateOptions,
): BaselineComparison | undefined {
  const left = anchorFrom(free, window[0], -1, sigma);
  const right = anchorFrom(free, window[1], 1, sigma);
  if (left === undefined || right === undefined) return undefined;
  const [a, b] = [0.5 * (left[0] + left[1]), 0.5 * (right[0] + right[1])];
  const [levelA, levelB] = [meanOf(signal, left), meanOf(signal, right)];
  const response = areaResponse(baseline, peak.first, shares);
  const from = Math.min(response.first, left[0]);
  const to = Math.max(response.first + response.weights.length - 1, right[1]);
  const weights = new Float64Array(to - from + 1);
  // Σ aᵢ zᵢ as a function of the record is a − h; the anchored line is a function of its two means.
  response.weights.forEach((h, i) => {
    weights[response.first - from + i] -= h;
  });
  let [difference, onA, onB] = [0, 0, 0];
  for (let i = 0; i < shares.length; i++) {
    const at = peak.first + i;
    const part = (at - a) / (b - a);
    difference += shares[i] * (baseline.values[at] - (1 - part) * levelA - part * levelB);
    onA += shares[i] * (1 - part);
    onB += shares[i] * part;
    weights[at - from] += shares[i];
  }
  for (let i = left[0]; i <= left[1]; i++) weights[i - from] -= onA / (left[1] - left[0] + 1);
  for (let i = right[0]; i <= right[1]; i++) weights[i - from] -= onB / (right[1] - right[0] + 1);
  const own = [peak.first - from, peak.first - from + shares.length - 1] as const;
  const middle = peak.first + (shares.length >> 1);
  return { difference, noise: noise.scatterOf(weights, own, middle, reach) };
}

/** The nearest free stretch beyond a limit. */
function anchorFrom(
  free: Uint8Array,
  limit: number,
  step: 1 | -1,
  sigma: number,
): readonly [number, number] | undefined {
  const shortest = Math.max(3, Math.ceil(SHORTEST_ANCHOR * sigma));
  const longest = Math.ceil(LONGEST_ANCHOR * sigma);
  let run = 0;
  for (let i = limit + step; i >= 0 && i < free.length; i += step) {
    if (free[i]) run++;
    else if (run >= shortest) return stretch(i - step, run, step);
    else run = 0;
    if (run >= longest) return stretch(i, run, step);
  }
  return run >= shortest ? stretch(step > 0 ? free.length - 1 : 0, run, step) : undefined;
}

function stretch(end: number, run: number, step: 1 | -1): readonly [number, number] {
  return step > 0 ? [end - run + 1, end] : [end, end + run - 1];
}

function meanOf(signal: Float64Array, [first, last]: readonly [number, number]): number {
  let sum = 0;
  for (let i = first; i <= last; i++) sum += signal[i];
  return sum / (last - first + 1);
}

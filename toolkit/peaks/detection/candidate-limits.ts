import type { CorrectedView } from "./corrected-view.js";
import { bendOf } from "./corrected-view.js";
import type { Candidate } from "./detect.js";

/** Where one candidate ends and the next begins, and whether a valley lies there. */
export interface Bound {
  readonly index: number;
  readonly valley: boolean;
}

/** A peak without an own valley counts as come back to the baseline at this share of its height. */
const BASE_SHARE = 1e-3;

/**
 * The bounds around candidates, one more than these: the lowest place of the smoothed signal between two, or where it
 * bends most when no valley lies there. O(n).
 *
 * @param smooth signal above the baseline, smoothed
 */
export function boundsBetween(
  found: readonly Candidate[],
  smooth: Float64Array,
  view: CorrectedView,
): readonly Bound[] {
  const bounds: Bound[] = [{ index: 0, valley: true }];
  let bend: Float64Array | undefined;
  for (let k = 1; k < found.length; k++) {
    const [a, b] = [found[k - 1].index, found[k].index];
    const lowest = lowestBetween(smooth, a, b);
    const valley = lowest > a && lowest < b;
    if (!valley) bend ??= bendOf(view);
    bounds.push({ index: valley || bend === undefined ? lowest : lowestBetween(bend, a, b), valley });
  }
  bounds.push({ index: smooth.length - 1, valley: true });
  return bounds;
}

function lowestBetween(values: Float64Array, from: number, to: number): number {
  let lowest = from;
  for (let i = from; i <= to; i++) if (values[i] < values[lowest]) lowest = i;
  return lowest;
}

/** From the apex outwards to the bounds, or to where the signal has come back to the baseline: first and last sample. */
export function limitsOf(
  index: number,
  height: number,
  [before, after]: readonly [Bound, Bound],
  smooth: Float64Array,
  noise: number,
): readonly [first: number, last: number] {
  const base = Math.max(2 * noise, BASE_SHARE * height);
  let first = index;
  while (first > before.index && smooth[first] > base) first--;
  let last = index;
  while (last < after.index && smooth[last] > base) last++;
  return [first, last];
}

/** Top of the parabola through a sample and its neighbours, at most half a sample away. */
export function parabolaTop(y: Float64Array, at: number): number {
  if (at < 1 || at > y.length - 2) return at;
  const curvature = y[at - 1] - 2 * y[at] + y[at + 1];
  if (!(curvature < 0)) return at;
  return at + Math.min(Math.max((0.5 * (y[at - 1] - y[at + 1])) / curvature, -0.5), 0.5);
}

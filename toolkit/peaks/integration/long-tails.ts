import { gaussianSmooth } from "../../signal/smooth.js";
import { integrationWindow } from "../shape/integration-window.js";
import type { PlacedPeak } from "./placed-peak.js";

/** Above this share of the height (and three times the noise) a peak has not come back at the end of its window. */
const RAISED = 0.02;
/** Followed until this share of the height, or the noise, or this many σ further. */
const BACK = 2e-3;
const FARTHEST = 25;

/**
 * Gives peaks that have not come back to the baseline where their expected window ends a window up to where they do:
 * a tail longer than the shape foresees is no reason for a fit as long as no other peak stands in it.
 */
export function followTails(
  y: Float64Array,
  peaks: readonly PlacedPeak[],
  spread: number,
): readonly PlacedPeak[] {
  if (peaks.length === 0) return peaks;
  const smooth = gaussianSmooth(y, Math.max(1, 0.3 * Math.min(...peaks.map(({ sigma }) => sigma))));
  const windows = peaks.map((peak) => integrationWindow(peak.apex, peak, 1, y.length));
  return peaks.map((peak, k) => {
    const height = smooth[peak.apex];
    const limit = Math.max(RAISED * height, 3 * spread);
    const [first, last] = windows[k];
    const before = k > 0 ? windows[k - 1][1] + 1 : 0;
    const after = k + 1 < peaks.length ? windows[k + 1][0] - 1 : y.length - 1;
    const end = Math.max(BACK * height, spread);
    const reach = Math.round(FARTHEST * peak.sigma);
    const from =
      smooth[first] > limit ? walk(smooth, first, -1, Math.max(before, first - reach), end) : first;
    const to = smooth[last] > limit ? walk(smooth, last, 1, Math.min(after, last + reach), end) : last;
    return from === first && to === last ? peak : { ...peak, window: [from, to] as const };
  });
}

/** Goes on from a limit while the signal falls (a little noise aside), as far as `farthest`. */
function walk(smooth: Float64Array, start: number, step: 1 | -1, farthest: number, end: number): number {
  let lowest = start;
  for (let i = start; step > 0 ? i <= farthest : i >= farthest; i += step) {
    if (smooth[i] < smooth[lowest]) lowest = i;
    if (smooth[i] <= end || smooth[i] > smooth[lowest] + 3 * end) break;
  }
  return lowest;
}

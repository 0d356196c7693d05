import { valleyBetween } from "./integration-window.js";
import type { Prepared } from "./placed-peak.js";

/** A valley above this share of a peak's height calls for a fit. */
const VALLEY_SHARE = 0.02;

/** What stands around a peak. */
export interface Surroundings {
  readonly first: number;
  readonly last: number;
  /** Present neighbours whose windows reach into this peak's own. */
  readonly neighbours: readonly number[];
  readonly raisedLeft: boolean;
  readonly raisedRight: boolean;
}

/** Limits of a peak, clipped at its neighbours' valleys, and whether the signal is still raised there. */
export function surroundings(
  smooth: Float64Array,
  peaks: readonly Prepared[],
  k: number,
  white: number,
): Surroundings {
  const own = peaks[k];
  let [first, last] = own.window;
  const neighbours: number[] = [];
  for (let j = 0; j < peaks.length; j++) {
    const other = peaks[j];
    if (j === k || !other.present) continue;
    if (other.window[1] < own.window[0] || other.window[0] > own.window[1]) continue;
    neighbours.push(j);
    if (!own.present) continue;
    if (other.apex < own.apex) first = Math.max(first, splitPoint(smooth, other, own));
    else last = Math.min(last, splitPoint(smooth, own, other));
  }
  const limit = Math.max(VALLEY_SHARE * Math.abs(own.height), 3 * white);
  return { first, last, neighbours, raisedLeft: smooth[first] > limit, raisedRight: smooth[last] > limit };
}

/** Lowest point of the stretch that both windows claim, between the apexes: in a flat stretch noise must not move it far. */
function splitPoint(smooth: Float64Array, left: Prepared, right: Prepared): number {
  const from = Math.max(right.window[0], left.apex);
  const to = Math.min(left.window[1], right.apex);
  return from < to ? valleyBetween(smooth, from, to) : valleyBetween(smooth, left.apex, right.apex);
}

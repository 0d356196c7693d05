import { valleyBetween } from "../shape/integration-window.js";
import type { Prepared } from "./placed-peak.js";

/** A valley above this share of a peak's height calls for a fit. */
export const VALLEY_SHARE = 0.02;

/** What stands around a peak. */
export interface Surroundings {
  readonly first: number;
  readonly last: number;
  /** Present neighbours whose windows reach into this peak's own. */
  readonly neighbours: readonly number[];
  readonly raisedLeft: boolean;
  readonly raisedRight: boolean;
  /** The smoothed signal at the limits. */
  readonly levelLeft: number;
  readonly levelRight: number;
  /** Neighbours with whom a limit is shared, the nearest on either side. */
  readonly left: number | undefined;
  readonly right: number | undefined;
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
  let left: number | undefined;
  let right: number | undefined;
  for (let j = 0; j < peaks.length; j++) {
    const other = peaks[j];
    if (j === k || !other.present) continue;
    if (other.window[1] < own.window[0] || other.window[0] > own.window[1]) continue;
    neighbours.push(j);
    if (!own.present) continue;
    if (other.apex < own.apex) {
      first = Math.max(first, splitPoint(smooth, other, own));
      left = j;
    } else {
      last = Math.min(last, splitPoint(smooth, own, other));
      right ??= j;
    }
  }
  const limit = Math.max(VALLEY_SHARE * Math.abs(own.height), 3 * white);
  const [levelLeft, levelRight] = [smooth[first], smooth[last]];
  const raised = { raisedLeft: levelLeft > limit, raisedRight: levelRight > limit };
  return { first, last, neighbours, ...raised, levelLeft, levelRight, left, right };
}

/** Lowest point of the stretch that both windows claim, between the apexes: in a flat stretch noise must not move it far. */
function splitPoint(smooth: Float64Array, left: Prepared, right: Prepared): number {
  const from = Math.max(right.window[0], left.apex);
  const to = Math.min(left.window[1], right.apex);
  return from < to ? valleyBetween(smooth, from, to) : valleyBetween(smooth, left.apex, right.apex);
}

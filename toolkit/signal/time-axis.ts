import { IonbookError } from "../errors.js";
import type { Chromatogram } from "./chromatogram.js";

/** Index of the first sample at or after a time; the last sample when there is none. */
export function indexAt(time: Float64Array, t: number): number {
  let low = 0;
  let high = time.length - 1;
  while (low < high) {
    const mid = (low + high) >> 1;
    if (time[mid] < t) low = mid + 1;
    else high = mid;
  }
  return low;
}

/** Samples first…last of a stretch, and how many they are: 0 for a stretch beside the record. */
export interface SampledStretch {
  readonly first: number;
  readonly last: number;
  readonly count: number;
}

/** The samples at from…to, both included; the ends of the record where none are given. Times in min. */
export function stretchOf(
  time: Float64Array,
  from: number = time[0],
  to: number = time[time.length - 1],
): SampledStretch {
  let first = indexAt(time, from);
  if (time[first] < from) first++;
  let last = indexAt(time, to);
  if (time[last] > to) last--;
  return { first, last, count: Math.max(last - first + 1, 0) };
}

/**
 * Mean sampling interval of an evenly sampled stretch, min. Times that were rounded on export count as even:
 * what is judged is each sample's distance from the regular grid, at most 0.3 steps.
 *
 * @throws IonbookError `uneven-sampling` when a sample lies further from the grid
 */
export function evenInterval(
  chromatogram: Chromatogram,
  first = 0,
  last = chromatogram.time.length - 1,
): number {
  const { time } = chromatogram;
  const interval = (time[last] - time[first]) / (last - first);
  for (let i = first; i <= last; i++) {
    const grid = time[first] + (i - first) * interval;
    if (Math.abs(time[i] - grid) > 0.3 * interval) {
      throw new IonbookError(
        "uneven-sampling",
        `${chromatogram.id} is not evenly sampled: sample ${i + 1} stands at ${time[i]} min, the regular grid at ${grid} min; export the raw record without compression or gaps`,
      );
    }
  }
  return interval;
}

import { IonbookError } from "../../errors.js";

/** A straight line below a peak, from one limit to the other. */
export interface StraightBaseline {
  /** Limits, in the unit of `time`. */
  readonly start: number;
  readonly end: number;
  /** The line's height at the limits, in the unit of the signal. */
  readonly startValue: number;
  readonly endValue: number;
}

/**
 * Area between a signal and a straight line, both limits included: the trapezoid sum ∫ (y − z) dt over the
 * samples inside, the signal at the limits interpolated linearly between its neighbours.
 *
 * Unit: that of the signal times that of `time` (µS/cm·min for a chromatogram's own axes). O(samples inside).
 *
 * @param time increasing, need not be even
 * @throws IonbookError `bad-limits` when the limits are in the wrong order or outside the record
 * @source trapezoid rule
 */
export function areaBetween(time: Float64Array, signal: Float64Array, line: StraightBaseline): number {
  const { start, end, startValue, endValue } = line;
  const [lowest, highest] = [time[0], time[time.length - 1]];
  // Limits written with fewer digits than the time axis may miss its ends by less than a sample.
  const slack = time.length > 1 ? (highest - lowest) / (time.length - 1) : 0;
  if (!(start < end) || !(start >= lowest - slack) || !(end <= highest + slack)) {
    throw new IonbookError(
      "bad-limits",
      `the limits ${start} to ${end} do not lie in order inside the record (${lowest} to ${highest}): give start < end within it`,
    );
  }
  const slope = (endValue - startValue) / (end - start);
  const above = (t: number, y: number) => y - startValue - slope * (t - start);
  let i = firstAfter(time, start);
  let before = start;
  let height = above(start, signalAt(time, signal, start, i));
  let area = 0;
  for (; i < time.length && time[i] < end; i++) {
    const next = above(time[i], signal[i]);
    area += 0.5 * (height + next) * (time[i] - before);
    before = time[i];
    height = next;
  }
  return area + 0.5 * (height + above(end, signalAt(time, signal, end, i))) * (end - before);
}

/** Index of the first sample later than t, the record's length where there is none. */
function firstAfter(time: Float64Array, t: number): number {
  let low = 0;
  let high = time.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time[middle] > t) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** The signal at t by the straight line between the samples `next` − 1 and `next`; held beyond the ends. */
function signalAt(time: Float64Array, signal: Float64Array, t: number, next: number): number {
  if (next <= 0) return signal[0];
  if (next >= time.length) return signal[time.length - 1];
  const share = (t - time[next - 1]) / (time[next] - time[next - 1]);
  return signal[next - 1] + share * (signal[next] - signal[next - 1]);
}

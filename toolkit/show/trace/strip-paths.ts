import type { DrawnStrip, DrawnTrace } from "./drawn-trace.js";

// As in the neighbouring files the source texts of these functions go into a page; they call nothing but each other.

/** What signal − baseline − components leave over; not-a-number outside the baseline and under summed peaks. O(n). */
export function leftOver(trace: DrawnTrace): Float64Array {
  const rest = trace.signal.map((value, index) => value - trace.baseline[index]);
  for (const { first, values } of trace.components) {
    for (let index = 0; index < values.length; index += 1) rest[first + index] -= values[index];
  }
  // A summed peak is the signal itself and has no model that could leave anything over.
  for (const peak of trace.peaks) {
    if (peak.fitted) continue;
    for (let index = 0; index < rest.length; index += 1) {
      if (trace.time[index] >= peak.start && trace.time[index] <= peak.end) rest[index] = Number.NaN;
    }
  }
  return rest;
}

/** First and last index of every stretch of numbers between two points; gaps of not-a-number part them. */
export function runsOf(values: Float64Array, first: number, last: number): [number, number][] {
  const runs: [number, number][] = [];
  let start = -1;
  for (let index = first; index <= last + 1; index += 1) {
    const there = index <= last && !Number.isNaN(values[index]);
    if (there && start < 0) start = index;
    if (!there && start >= 0) {
      runs.push([start, index - 1]);
      start = -1;
    }
  }
  return runs;
}

/** Baseline and all quantified components together; not-a-number where there is no component. O(n). */
export function sumOfParts(trace: DrawnTrace): Float64Array {
  const sum = new Float64Array(trace.signal.length).fill(Number.NaN);
  for (const { first, values, refused } of trace.components) {
    if (refused) continue;
    for (let index = 0; index < values.length; index += 1) {
      const before = sum[first + index];
      sum[first + index] = values[index] + (Number.isNaN(before) ? trace.baseline[first + index] : before);
    }
  }
  return sum;
}

/** Range of a strip between two points, and whether something sticks out of it. */
export function stripRange(
  strip: DrawnStrip,
  values: Float64Array,
  noise: number,
  first: number,
  last: number,
): { range: [number, number]; cut: boolean } {
  let most = 0;
  for (let index = first; index <= last; index += 1) {
    const size = Math.abs(values[index]);
    if (size > most) most = size;
  }
  if (strip.range !== undefined) return { range: [strip.range[0], strip.range[1]], cut: false };
  const roof = 12 * noise;
  const cut = roof > 0 && most > roof;
  const half = Math.max(cut ? roof : most * 1.1, 1e-12);
  return { range: [-half, half], cut };
}

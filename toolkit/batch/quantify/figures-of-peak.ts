import { measureTrace } from "../../peaks/figures/measure-trace.js";
import { figuresOf, widthAndTailing } from "../../peaks/figures/peak-figures.js";
import type { MeasurablePeak } from "../../peaks/shape/peak-shape.js";
import type { EvaluatedTrace, PeakResult } from "../types.js";

/** A record with its baseline and components, before its peaks are described. */
export type EvaluatedRecord = Pick<EvaluatedTrace, "time" | "signal" | "baseline" | "components" | "noise">;

/** Where a peak stands and how its area was obtained. */
type MeasuredLimits = Pick<PeakResult, "ion" | "retentionTime" | "rule" | "start" | "end">;

/**
 * The figures of one peak of an evaluated record: of a summed one on the record less its baseline, of any other on its
 * fitted component; undefined where it has no maximum of its own.
 */
export function figuresOfPeak(
  trace: EvaluatedRecord,
  peak: MeasuredLimits,
): ReturnType<typeof figuresOf> | undefined {
  const measured = measuredPeak(trace, peak);
  return measured && figuresOf(measured);
}

/** Width at half height (min) and symmetry factor alone, by the same measures. */
export function shapeOfPeak(
  trace: EvaluatedRecord,
  peak: MeasuredLimits,
): ReturnType<typeof widthAndTailing> | undefined {
  const measured = measuredPeak(trace, peak);
  return measured && widthAndTailing(measured);
}

function measuredPeak(trace: EvaluatedRecord, peak: MeasuredLimits): MeasurablePeak | undefined {
  const { time, signal } = peak.rule === "summation" ? netSignal(trace, peak) : component(trace, peak);
  const top = nearestTop(time, signal, peak.retentionTime);
  if (top < 2 || top > time.length - 3 || !(signal[top] > 0)) return undefined;
  return measureTrace({ time, signal }, { top, noise: trace.noise });
}

function netSignal({ time, signal, baseline }: EvaluatedRecord, { start, end }: MeasuredLimits) {
  let first = 0;
  while (first < time.length && (time[first] < start || Number.isNaN(baseline[first]))) first++;
  let last = first;
  while (last < time.length && time[last] <= end && !Number.isNaN(baseline[last])) last++;
  return {
    time: time.subarray(first, last),
    signal: signal.subarray(first, last).map((y, i) => y - baseline[first + i]),
  };
}

function component({ time, components }: EvaluatedRecord, peak: MeasuredLimits) {
  const found = components.find(
    ({ ion, first, values }) =>
      ion === peak.ion &&
      time[first] <= peak.retentionTime &&
      time[Math.min(first + values.length, time.length) - 1] >= peak.retentionTime,
  );
  if (found === undefined) return { time: time.subarray(0, 0), signal: time.subarray(0, 0) };
  return { time: time.subarray(found.first, found.first + found.values.length), signal: found.values };
}

/** Index of the highest sample reached uphill from the one nearest to a time. */
function nearestTop(time: Float64Array, signal: Float64Array, at: number): number {
  let top = 0;
  for (let i = 1; i < time.length; i++) if (Math.abs(time[i] - at) < Math.abs(time[top] - at)) top = i;
  for (const step of [-1, 1]) while (signal[top + step] > signal[top]) top += step;
  return top;
}

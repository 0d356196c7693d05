import type { Chromatogram } from "../../signal/chromatogram.js";
import type { DrawnPeak, DrawnTrace } from "./drawn-trace.js";

/** A plain record as the drawing sees it; `baseline` and `peaks` may be added. */
export function readRecord(
  record: Chromatogram,
  found: { readonly baseline?: Float64Array; readonly peaks?: readonly DrawnPeak[] } = {},
): DrawnTrace {
  const { time, signal, signalUnit } = record;
  const quantityName = /S\/cm$/.test(signalUnit) ? "conductivity" : "signal";
  return {
    axis: `${quantityName} / ${signalUnit.includes("/") ? `(${signalUnit})` : signalUnit}`,
    time,
    signal,
    baseline: found.baseline ?? new Float64Array(time.length).fill(Number.NaN),
    noise: scatter(signal),
    peaks: found.peaks ?? [],
    components: [],
  };
}

/** A rough size of the noise for scaling the picture: median step between neighbours, over √2 and 0.6745. */
function scatter(signal: Float64Array): number {
  const steps = new Float64Array(Math.max(signal.length - 1, 1));
  for (let index = 1; index < signal.length; index += 1)
    steps[index - 1] = Math.abs(signal[index] - signal[index - 1]);
  steps.sort();
  return steps[steps.length >> 1] / (Math.SQRT2 * 0.6745);
}

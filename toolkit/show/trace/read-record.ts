import type { Chromatogram } from "../../signal/chromatogram.js";
import type { DrawnPeak, DrawnTrace } from "./drawn-trace.js";

/** A plain record as the drawing sees it; `baseline` and `peaks` may be added. */
export function readRecord(
  record: Chromatogram,
  found: { readonly baseline?: Float64Array; readonly peaks?: readonly DrawnPeak[] } = {},
): DrawnTrace {
  const { time, signal, signalUnit } = record;
  const noise = scatter(signal);
  const drawn = {
    axis: signalAxis(signalUnit),
    time,
    signal,
    baseline: found.baseline ?? new Float64Array(time.length).fill(Number.NaN),
    noise,
    peaks: found.peaks ?? [],
    components: [],
  };
  const traceLevel = found.baseline === undefined ? quietLevel(signal, noise) : undefined;
  return traceLevel === undefined ? drawn : { ...drawn, traceLevel };
}

/** "conductivity / (µS/cm)": quantity and unit of a signal. */
export function signalAxis(unit: string): string {
  return `${/S\/cm$/.test(unit) ? "conductivity" : "signal"} / ${unit.includes("/") ? `(${unit})` : unit}`;
}

/** Samples that are looked at for the figures which only scale a picture. */
const LOOKED_AT = 20_000;

/** A rough size of the noise for scaling the picture: median step between neighbours, over √2 and 0.6745. */
export function scatter(signal: Float64Array): number {
  const stride = Math.max(1, Math.floor(signal.length / LOOKED_AT));
  const steps: number[] = [];
  for (let index = 1; index < signal.length; index += stride) {
    const step = Math.abs(signal[index] - signal[index - 1]);
    if (!Number.isNaN(step)) steps.push(step);
  }
  steps.sort((a, b) => a - b);
  return (steps[steps.length >> 1] ?? 0) / (Math.SQRT2 * 0.6745);
}

/** Shares of the samples between which a record counts as quiet. */
const QUIET = [0.02, 0.75] as const;

/** Where most of a record lies, when that is too low a stretch to be seen beside its highest peak. */
function quietLevel(signal: Float64Array, noise: number): DrawnTrace["traceLevel"] {
  const stride = Math.max(1, Math.floor(signal.length / LOOKED_AT));
  const seen: number[] = [];
  for (let index = 0; index < signal.length; index += stride)
    if (!Number.isNaN(signal[index])) seen.push(signal[index]);
  seen.sort((a, b) => a - b);
  if (seen.length < 100) return undefined;
  const [low, high] = QUIET.map((share) => seen[Math.floor(share * (seen.length - 1))]);
  const span = Math.max(2.5 * (high - low), 30 * noise);
  const whole = seen[seen.length - 1] - seen[0];
  return span > 0 && whole > 8 * span ? { span, floor: low } : undefined;
}

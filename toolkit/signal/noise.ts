import { IonbookError } from "../errors.js";
import type { Chromatogram } from "./chromatogram.js";
import { requireChromatogram } from "./require-chromatogram.js";
import { indexAt } from "./time-axis.js";

/** Noise of a stretch without peaks, in the signal's unit. */
export interface Noise {
  /** Standard deviation about a straight line. */
  readonly rms: number;
  /** Highest minus lowest after removing the line. */
  readonly peakToPeak: number;
  /** Slope of the line per minute. */
  readonly drift: number;
  /** Standard deviation of the white part alone, from second differences: blind to slow noise. */
  readonly white: number;
  /** The stretch used, min. */
  readonly from: number;
  readonly to: number;
}

/**
 * Noise and drift of the stretch from…to of a record, which should hold no peak.
 *
 * A straight line is fitted; rms is the residual standard deviation on n − 2 degrees of freedom, peakToPeak
 * the span of the residuals, drift the slope. Without from/to the whole record counts.
 *
 * @throws IonbookError `not-a-chromatogram`; `short-stretch` when fewer than 5 samples lie in the stretch
 * @source ASTM E685-type definitions of noise and drift (from memory)
 */
export function estimateNoise(
  chromatogram: Chromatogram,
  options: { readonly from?: number; readonly to?: number } = {},
): Noise {
  requireChromatogram(chromatogram, "estimateNoise");
  const { time, signal } = chromatogram;
  const { from = time[0], to = time[time.length - 1] } = options;
  const first = indexAt(time, from);
  let last = indexAt(time, to);
  if (time[last] > to) last--;
  if (last - first < 4) {
    throw new IonbookError(
      "short-stretch",
      `the stretch ${from}–${to} min of ${chromatogram.id} holds ${Math.max(last - first + 1, 0)} samples; noise needs at least 5: choose a wider from/to`,
    );
  }
  const n = last - first + 1;
  const line = straightLine(time, signal, first, last);
  let squares = 0;
  let high = -Infinity;
  let low = Infinity;
  for (let i = first; i <= last; i++) {
    const r = signal[i] - line.level - line.slope * (time[i] - line.centre);
    squares += r * r;
    if (r > high) high = r;
    if (r < low) low = r;
  }
  return {
    rms: Math.sqrt(squares / (n - 2)),
    peakToPeak: high - low,
    drift: line.slope,
    white: whiteNoise(signal.subarray(first, last + 1)),
    from: time[first],
    to: time[last],
  };
}

function straightLine(time: Float64Array, y: Float64Array, first: number, last: number) {
  const n = last - first + 1;
  let centre = 0;
  let level = 0;
  for (let i = first; i <= last; i++) {
    centre += time[i];
    level += y[i];
  }
  centre /= n;
  level /= n;
  let sxx = 0;
  let sxy = 0;
  for (let i = first; i <= last; i++) {
    sxx += (time[i] - centre) ** 2;
    sxy += (time[i] - centre) * (y[i] - level);
  }
  return { centre, level, slope: sxy / sxx };
}

/**
 * Standard deviation of white noise: 1.4826·MAD(second differences)/√6. Proof against drift and peaks, but
 * blind to slow (1/f) noise, so never used alone for detection or uncertainty.
 *
 * @source second difference of white noise has variance 6σ² (derived)
 */
export function whiteNoise(y: Float64Array): number {
  const n = y.length - 2;
  if (n < 1) return 0;
  const d = new Float64Array(n);
  for (let i = 0; i < n; i++) d[i] = Math.abs(y[i] - 2 * y[i + 1] + y[i + 2]);
  d.sort();
  return (1.4826 * d[n >> 1]) / Math.sqrt(6);
}

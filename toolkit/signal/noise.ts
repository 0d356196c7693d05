import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { kthSmallestInPlace } from "../numeric/robust.js";
import type { Chromatogram } from "./chromatogram.js";
import { requireChromatogram } from "./require-chromatogram.js";
import { type StraightLine, straightLine } from "./straight-line.js";
import { indexAt, stretchOf } from "./time-axis.js";

/** Consecutive windows over which a peak-to-peak figure was averaged. */
export interface NoiseWindows {
  /** min */
  readonly length: number;
  readonly count: number;
}

/** Noise of a stretch without peaks, in the signal's unit. */
export interface Noise {
  readonly kind: "noise";
  readonly chromatogram: Chromatogram;
  /** Standard deviation about a straight line, over the stretch. */
  readonly rms: number;
  /** Highest minus lowest after removing the line, over the stretch; grows with its length. */
  readonly peakToPeak: number;
  /** Slope of the line per minute, over the stretch. */
  readonly drift: number;
  /** The same per hour. */
  readonly driftPerHour: number;
  /** Standard deviation of the white part alone, from second differences: blind to slow noise. Over the stretch. */
  readonly white: number;
  /** Mean peak-to-peak in consecutive windows of 1 min, the line removed; a shorter stretch is one window. */
  readonly shortTerm: number;
  /** The same in windows of 10 min, for stretches of an hour and more. */
  readonly longTerm: number | undefined;
  readonly windows: { readonly shortTerm: NoiseWindows; readonly longTerm: NoiseWindows | undefined };
  /** The stretch used, min, and the readings in it. */
  readonly from: number;
  readonly to: number;
  readonly samples: number;
  toString(): string;
}

/** Windows of short-term and long-term noise, and the least stretch for the latter, min. */
const SHORT_TERM = 1;
const LONG_TERM = 10;
const LONG_STRETCH = 60;

/**
 * Noise and drift of the stretch from…to of a record, which should hold no peak.
 *
 * A straight line is fitted; rms is the residual standard deviation on n − 2 degrees of freedom, peakToPeak
 * the span of the residuals, drift the slope; shortTerm and longTerm are mean spans of the residuals in whole
 * consecutive windows of 1 and 10 min from the start of the stretch. Without from/to the whole record counts.
 * Signal's unit; drift per min. O(n).
 *
 * @throws IonbookError `not-a-chromatogram`; `short-stretch` when fewer than 5 samples lie in the stretch;
 *   `out-of-range` for readings whose differences are beyond double precision
 * @source ASTM E685-type definitions of short-term and long-term noise and of drift (from memory)
 */
export function estimateNoise(
  chromatogram: Chromatogram,
  options: { readonly from?: number; readonly to?: number } = {},
): Noise {
  requireChromatogram(chromatogram, "estimateNoise");
  const { id, time, signal, signalUnit } = chromatogram;
  const { from = time[0], to = time[time.length - 1] } = options;
  const { first, last, count: samples } = stretchOf(time, from, to);
  if (samples < 5) {
    throw new IonbookError(
      "short-stretch",
      `the stretch ${from}–${to} min of ${id} holds ${samples} samples; noise needs at least 5: choose a wider from/to`,
    );
  }
  const line = straightLine(time, signal, first, last);
  const { rms, span: peakToPeak } = residualScatter(time, signal, first, last, line);
  const whole = { time, signal, first, last, line };
  const short = meanSpan(whole, SHORT_TERM) ?? {
    span: peakToPeak,
    windows: { length: time[last] - time[first], count: 1 },
  };
  const long = time[last] - time[first] > LONG_STRETCH - 1e-6 ? meanSpan(whole, LONG_TERM) : undefined;
  const white = whiteNoise(signal.subarray(first, last + 1));
  const text = `noise of ${id}, ${time[first].toFixed(2)} to ${time[last].toFixed(2)} min: s.d. ${rms.toPrecision(3)}, short-term ${short.span.toPrecision(3)} ${signalUnit}, drift ${(60 * line.slope).toPrecision(3)} ${signalUnit}/h`;
  const noise = {
    kind: "noise",
    chromatogram,
    rms,
    peakToPeak,
    drift: line.slope,
    driftPerHour: 60 * line.slope,
    white,
    shortTerm: short.span,
    longTerm: long?.span,
    windows: { shortTerm: short.windows, longTerm: long?.windows },
    from: time[first],
    to: time[last],
    samples,
    toString: () => text,
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  } as Noise;
  if (![rms, peakToPeak, noise.driftPerHour, white].every(Number.isFinite)) {
    throw new IonbookError(
      "out-of-range",
      `readings of ${id} differ by more than double precision holds: give the signal in another unit`,
    );
  }
  return noise;
}

/** Standard deviation and span of the residuals about a line, safe against overflow of their squares. */
export function residualScatter(
  time: Float64Array,
  signal: Float64Array,
  first: number,
  last: number,
  line: StraightLine,
): { readonly rms: number; readonly span: number } {
  const { high, low } = extremes(time, signal, first, last, line);
  const largest = Math.max(high, -low);
  if (!(largest > 0)) return { rms: 0, span: 0 };
  let squares = 0;
  for (let i = first; i <= last; i++) {
    const r = (signal[i] - line.level - line.slope * (time[i] - line.centre)) / largest;
    squares += r * r;
  }
  return { rms: largest * Math.sqrt(squares / (last - first - 1)), span: high - low };
}

function extremes(
  time: Float64Array,
  signal: Float64Array,
  first: number,
  last: number,
  { level, slope, centre }: StraightLine,
) {
  let high = -Infinity;
  let low = Infinity;
  for (let i = first; i <= last; i++) {
    const r = signal[i] - level - slope * (time[i] - centre);
    if (r > high) high = r;
    if (r < low) low = r;
  }
  return { high, low };
}

interface Stretch {
  readonly time: Float64Array;
  readonly signal: Float64Array;
  readonly first: number;
  readonly last: number;
  readonly line: StraightLine;
}

/** Mean span in whole consecutive windows of `length` min; undefined where not one fits. */
function meanSpan({ time, signal, first, last, line }: Stretch, length: number) {
  const interval = (time[last] - time[first]) / (last - first);
  const end = time[last] + 1.01 * interval;
  let sum = 0;
  let count = 0;
  let from = first;
  for (let k = 1; time[first] + k * length <= end; k++) {
    const edge = time[first] + k * length - 1e-9;
    const next = time[last] < edge ? last + 1 : indexAt(time, edge);
    if (next <= from) continue;
    const { high, low } = extremes(time, signal, from, next - 1, line);
    sum += high - low;
    count++;
    from = next;
  }
  return count === 0 ? undefined : { span: sum / count, windows: { length, count } };
}

/**
 * Standard deviation of white noise: 1.4826·MAD(second differences)/√6. Proof against drift and peaks, but
 * blind to slow (1/f) noise, so never used alone for detection or uncertainty. O(n).
 *
 * @source second difference of white noise has variance 6σ² (derived)
 */
export function whiteNoise(y: Float64Array): number {
  const n = y.length - 2;
  if (n < 1) return 0;
  const d = new Float64Array(n);
  for (let i = 0; i < n; i++) d[i] = Math.abs(y[i] - 2 * y[i + 1] + y[i + 2]);
  return (1.4826 * kthSmallestInPlace(d, n >> 1)) / Math.sqrt(6);
}

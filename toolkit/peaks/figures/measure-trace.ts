import { IonbookError } from "../../errors.js";
import { median } from "../../numeric/robust.js";
import type { Crossings, MeasurablePeak, PeakMoments, PeakTrace } from "../shape/peak-shape.js";
import { apexAround, levelTime, type Samples, tangentFootAround } from "./local-curve.js";

/** From so many equal highest readings on the recorder was at its limit. */
const CLIPPED_FROM = 3;
/** Fewer samples across the half height make plates worse than 1 % (common practice, no source). */
const FEWEST_ACROSS_HALF = 12;
/** Below this signal to noise 5 % of the height lies inside the noise. */
const LEAST_AT_FIVE_PERCENT = 60;
/** A share of the height: what rises by more from a valley is a neighbour, what falls by more below zero is a baseline. */
const NOTABLE = 0.02;
/** Moments of a record that ends above this share of the height are those of a truncated peak. */
const TRUNCATED_ABOVE = 1e-3;
/** Reach of the local curves in half-height widths: without noise, and from `NOISY` (noise over height) on. */
const REACH = {
  apex: [0.06, 0.5],
  crossing: [0.03, 0.18],
  tangent: [0.08, 0.26],
} as const;
const NOISY = 5e-4;

export interface MeasureTraceOptions {
  /** Sample at which the peak is highest. @default the highest of the trace */
  readonly top?: number;
  /** Standard deviation of the noise. @default from fourth differences of the trace */
  readonly noise?: number;
}

/**
 * A recorded peak, measured on its samples: apex by a cubic in the logarithm about the highest one, crossings and
 * tangents by cubics amidst the samples there, searched outwards from the apex, moments by trapezoids. The curves reach
 * further the noisier the record is.
 *
 * Even sampling is not needed. What the record does not show is NaN with its reason: nothing is extrapolated.
 *
 * @throws IonbookError `length-mismatch`, `short-stretch` (fewer than 5 samples), `no-peak` (highest at an end or
 *   not above zero)
 */
export function measureTrace(trace: PeakTrace, options: MeasureTraceOptions = {}): MeasurablePeak {
  requireTrace(trace);
  const { time, signal } = trace;
  const { top = highest(signal), noise = noiseOf(signal) } = options;
  if (!(signal[top] > 0) || top < 2 || top > time.length - 3) {
    throw new IonbookError(
      "no-peak",
      "the highest reading stands at an end of the trace or not above zero: give one whole peak with its baseline taken off",
    );
  }
  const scale = widthAround(trace, top, noise);
  const reach = (what: keyof typeof REACH) => {
    const [least, most] = REACH[what];
    return scale * (least + (most - least) * Math.min(1, noise / signal[top] / NOISY));
  };
  const apex = apexAround(trace, top, reach("apex"));
  const peak = { trace, top, noise, apex, broken: brokenTop(trace, top, noise), reach };
  return {
    retentionTime: apex.time,
    height: apex.height,
    moments: sampledMoments(trace),
    ...truncation(trace, apex.height, noise),
    warnings: warningsOf(peak, scale),
    crossings: (share) => crossingsAt(peak, share),
    tangents: () => tangentsOf(peak),
  };
}

/** A recorded peak on the way to its figures. */
interface TracedPeak {
  readonly trace: PeakTrace;
  readonly top: number;
  readonly noise: number;
  readonly apex: { readonly time: number; readonly height: number };
  /** Why the top is not to be trusted. */
  readonly broken: string | undefined;
  readonly reach: (what: keyof typeof REACH) => number;
}

function requireTrace({ time, signal }: PeakTrace): void {
  const n = time.length;
  if (signal.length !== n) {
    throw new IonbookError(
      "length-mismatch",
      `the trace has ${n} times and ${signal.length} signals: give one signal for each time`,
    );
  }
  if (n < 5)
    throw new IonbookError(
      "short-stretch",
      `the trace holds ${n} samples; a peak needs at least 5: give a longer one`,
    );
}

function highest(signal: ArrayLike<number>): number {
  let top = 0;
  for (let i = 1; i < signal.length; i++) if (signal[i] > signal[top]) top = i;
  return top;
}

/** White noise from fourth differences (variance 70 σ²), which a peak of ten samples or more hardly shows. */
function noiseOf(y: ArrayLike<number>): number {
  const differences = Float64Array.from({ length: y.length - 4 }, (_, i) =>
    Math.abs(y[i] - 4 * y[i + 1] + 6 * y[i + 2] - 4 * y[i + 3] + y[i + 4]),
  );
  return (1.4826 * median(differences)) / Math.sqrt(70);
}

function brokenTop({ signal }: PeakTrace, top: number, noise: number): string | undefined {
  let equal = 0;
  for (let i = 0; i < signal.length; i++) if (signal[i] === signal[top]) equal++;
  if (equal >= CLIPPED_FROM)
    return `${equal} equal highest readings: the recorder was at its limit, the true top is not in the record`;
  const neighbors = Math.max(signal[top - 1], signal[top + 1]);
  const bend = 2 * neighbors - Math.max(signal[top - 2], signal[top + 2]);
  const lone = signal[top] - Math.max(neighbors, bend);
  return lone > Math.max(0.05 * signal[top], 8 * noise)
    ? "the highest reading is a spike of one sample: take it out of the record first"
    : undefined;
}

/** Distance between the half-height crossings nearest to the top, min; twice the one that exists where a neighbour hides the other. */
function widthAround({ time, signal }: PeakTrace, top: number, noise: number): number {
  const half = 0.5 * (signal[top] - noise);
  const walk = (step: -1 | 1): number => {
    let i = top;
    while (i + step >= 0 && i + step < time.length && signal[i] > half) i += step;
    return Math.abs(time[i] - time[top]);
  };
  return 2 * Math.min(walk(-1), walk(1));
}

/** Samples on both sides of a level, going outwards from the top; a sentence where a neighbour or the end comes first. */
function straddle({ trace, top, noise, apex }: TracedPeak, level: number, step: -1 | 1): number | string {
  const { signal } = trace;
  const rise = Math.max(NOTABLE * apex.height, 6 * noise);
  let lowest = signal[top];
  for (let i = top + step; i >= 0 && i < signal.length; i += step) {
    if (signal[i] <= level) return i;
    lowest = Math.min(lowest, signal[i]);
    if (signal[i] > lowest + rise) return "a valley to a neighbour stands above it: use the fitted peak";
  }
  return "the record ends above it";
}

function crossingsAt(peak: TracedPeak, share: number): Crossings {
  const [front, back] = [-1, 1].map((step) => crossing(peak, share, step as -1 | 1));
  const reason = [front, back].find((each) => typeof each === "string");
  return {
    front: typeof front === "string" ? Number.NaN : front,
    back: typeof back === "string" ? Number.NaN : back,
    ...(reason === undefined ? {} : { reason: `${percent(share)} of the height: ${reason}` }),
  };
}

function crossing(peak: TracedPeak, share: number, step: -1 | 1): number | string {
  const { trace, noise, apex, broken, reach } = peak;
  if (broken !== undefined) return broken;
  if (share <= 0.05 && apex.height < LEAST_AT_FIVE_PERCENT * noise)
    return `signal to noise ${(apex.height / noise).toFixed(0)} is below ${LEAST_AT_FIVE_PERCENT}: the level lies in the noise`;
  const level = share * apex.height;
  const beyond = straddle(peak, level, step);
  if (typeof beyond === "string") return beyond;
  const negative = share < 0.5 ? dipBeyond(peak, beyond, step) : undefined;
  if (negative !== undefined) return negative;
  const [a, b] = [beyond - step, beyond];
  const { time, signal } = trace;
  const at = time[a] + ((time[b] - time[a]) * (signal[a] - level)) / (signal[a] - signal[b]);
  return levelTime(onOneSide(peak, step), level, at, reach("crossing"));
}

/** The samples from the top outwards: a local curve at a steep flank must not reach over the apex. */
function onOneSide({ trace: { time, signal }, top }: TracedPeak, step: -1 | 1): Samples {
  const slice = (values: ArrayLike<number>): ArrayLike<number> => {
    const [from, to] = step < 0 ? [0, top + 1] : [top, values.length];
    return values instanceof Float64Array
      ? values.subarray(from, to)
      : Array.prototype.slice.call(values, from, to);
  };
  return { time: slice(time), signal: slice(signal) };
}

/** A baseline that falls below zero right behind the peak makes every low level stand too high. */
function dipBeyond(
  { trace: { time, signal }, noise, apex, reach }: TracedPeak,
  from: number,
  step: -1 | 1,
): string | undefined {
  const far = time[from] + step * 10 * reach("crossing");
  const least = -Math.max(NOTABLE * apex.height, 6 * noise);
  for (let i = from; i >= 0 && i < signal.length && (far - time[i]) * step >= 0; i += step) {
    if (signal[i] < least)
      return `the record falls to ${percent(signal[i] / apex.height)} of the height beside the peak: mend the baseline first`;
  }
  return undefined;
}

function tangentsOf(peak: TracedPeak): Crossings {
  const steep = crossingsAt(peak, 0.607);
  if (steep.reason !== undefined) return { ...steep, reason: steep.reason };
  const low = crossingsAt(peak, 0.3);
  if (low.reason !== undefined) return { ...low, reason: low.reason };
  const reach = peak.reach("tangent");
  return {
    front: tangentFootAround(onOneSide(peak, -1), steep.front, reach),
    back: tangentFootAround(onOneSide(peak, 1), steep.back, reach),
  };
}

function warningsOf({ trace: { time }, top, broken }: TracedPeak, width: number): readonly string[] {
  if (broken !== undefined) return [broken];
  let across = 0;
  for (let i = 0; i < time.length; i++) if (Math.abs(time[i] - time[top]) <= 0.5 * width) across++;
  return across < FEWEST_ACROSS_HALF
    ? [
        `only ${across} samples across the half height: plates are worse than 1 %, ${FEWEST_ACROSS_HALF} are wanted`,
      ]
    : [];
}

function truncation({ signal }: PeakTrace, height: number, noise: number): { readonly truncated?: string } {
  const ends = Math.max(Math.abs(signal[0]), Math.abs(signal[signal.length - 1])) / height;
  return ends > Math.max(TRUNCATED_ABOVE, (3 * noise) / height)
    ? {
        truncated: `the record ends at ${percent(ends)} of the height: moments need both ends below ${percent(TRUNCATED_ABOVE)}`,
      }
    : {};
}

function percent(share: number): string {
  return `${Number((100 * share).toPrecision(2))} %`;
}

function sampledMoments({ time, signal }: PeakTrace): PeakMoments {
  const integral = (value: (i: number) => number): number => {
    let sum = 0;
    for (let i = 1; i < time.length; i++) sum += 0.5 * (time[i] - time[i - 1]) * (value(i) + value(i - 1));
    return sum;
  };
  const area = integral((i) => signal[i]);
  const mean = integral((i) => time[i] * signal[i]) / area;
  const central = (power: number) => integral((i) => (time[i] - mean) ** power * signal[i]) / area;
  const variance = central(2);
  return {
    area,
    mean,
    variance,
    skewness: central(3) / variance ** 1.5,
    excessKurtosis: central(4) / variance ** 2 - 3,
  };
}

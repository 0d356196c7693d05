import { gaussianSmooth } from "../signal/smooth.js";
import { robustSpread, secondDerivativeFilter } from "./second-derivative-filter.js";

export interface DetectOptions {
  /** Standard deviation in samples of the peaks expected at an index. */
  readonly widthAt: (index: number) => number;
  /** False peaks accepted per record. @default 0.05 */
  readonly falsePeaks?: number;
  /** Overrides the threshold that follows from falsePeaks, in spreads of the filter output. */
  readonly threshold?: number;
}

/** A place where the filter says "peak". */
export interface Candidate {
  /** Sample index of the apex. */
  readonly index: number;
  /** Filter output in units of its own spread: the larger of the scales. */
  readonly significance: number;
  /** Scale of the best answer, samples. */
  readonly scale: number;
}

/** Filter scales as multiples of the expected peak width: the narrow one keeps close neighbours apart. */
const SCALES = [0.45, 0.8, 1.25] as const;

/**
 * Threshold in spreads that lets `falsePeaks` through in a record of `length` samples of pure noise:
 * U = √(2 ln(T√2.5/(2π s N))), T length, s scale.
 *
 * @source S. O. Rice 1944, rate of up-crossings of Gaussian noise (from memory), applied to this filter (derived)
 */
export function detectionThreshold(length: number, scale: number, falsePeaks: number): number {
  return Math.sqrt(
    2 * Math.log(Math.max((length * Math.sqrt(2.5)) / (2 * Math.PI * scale * falsePeaks), Math.E)),
  );
}

/**
 * Peaks of a baseline-corrected, evenly sampled record with a stated rate of false ones, in time order.
 *
 * At each scale the local maxima of the zero-area filter above U spreads are candidates; those that several
 * scales see are one. Candidates within three scales of the ends are left out.
 *
 * @param y baseline-corrected signal
 */
export function detectPeaks(y: Float64Array, options: DetectOptions): readonly Candidate[] {
  const { widthAt, falsePeaks = 0.05 } = options;
  const n = y.length;
  const typical = widthAt(n >> 1);
  const found: Candidate[] = [];
  for (const factor of SCALES) {
    for (const c of atScale(y, factor, typical, falsePeaks / SCALES.length, options)) found.push(c);
  }
  return merge(found, y, widthAt);
}

function atScale(
  y: Float64Array,
  factor: number,
  typical: number,
  falsePeaks: number,
  options: DetectOptions,
): Candidate[] {
  const n = y.length;
  const scale = Math.max(factor * typical, 1);
  const response = secondDerivativeFilter(y, scale);
  const spread = robustSpread(response, Math.ceil(scale));
  const out: Candidate[] = [];
  if (!(spread > 0)) return out;
  const limit = (options.threshold ?? detectionThreshold(n, scale, falsePeaks)) * spread;
  const reach = Math.max(2, Math.round(0.8 * scale));
  const edge = Math.ceil(3 * scale);
  for (let i = edge; i < n - edge; i++) {
    const r = response[i];
    if (r < limit || r < response[i - 1] || r <= response[i + 1]) continue;
    let highest = true;
    for (let k = Math.max(0, i - reach); k <= Math.min(n - 1, i + reach); k++)
      if (response[k] > r) highest = false;
    if (highest && !isSideLobe(response, i, scale)) out.push({ index: i, significance: r / spread, scale });
  }
  return out;
}

/**
 * The filter answers a strong peak with two negative lobes and, on their far sides, with small positive ones.
 * A candidate beside a lobe of a much stronger answer is that ripple, not a peak.
 */
function isSideLobe(response: Float64Array, at: number, scale: number): boolean {
  const reach = Math.ceil(5.5 * scale);
  const r = response[at];
  for (let k = Math.max(0, at - reach); k <= Math.min(response.length - 1, at + reach); k++) {
    if (response[k] > 3e3 * r) return true;
  }
  return false;
}

/** Joins the answers of the scales: within 0.9 widths the most significant one stands for all. */
function merge(found: Candidate[], y: Float64Array, widthAt: (i: number) => number): Candidate[] {
  const kept: Candidate[] = [];
  for (const c of [...found].sort((a, b) => b.significance - a.significance)) {
    if (kept.every((k) => Math.abs(k.index - c.index) > 0.9 * widthAt(c.index))) kept.push(c);
  }
  const smooth = gaussianSmooth(y, Math.max(1, 0.3 * widthAt(y.length >> 1)));
  return kept
    .sort((a, b) => a.index - b.index)
    .map((c) => ({ ...c, index: climb(smooth, c.index, widthAt(c.index)) }));
}

/** Moves a candidate to the local maximum of the smoothed signal within half a width, where there is one. */
function climb(smooth: Float64Array, at: number, width: number): number {
  const reach = Math.max(1, Math.round(0.5 * width));
  let best = at;
  for (let k = Math.max(1, at - reach); k <= Math.min(smooth.length - 2, at + reach); k++) {
    if (smooth[k] > smooth[best]) best = k;
  }
  const isMaximum = smooth[best] >= smooth[best - 1] && smooth[best] >= smooth[best + 1];
  return isMaximum ? best : at;
}

import { gaussianSmooth } from "../../signal/smooth.js";
import { robustSpread, sparseResponse } from "./second-derivative-filter.js";
import { type WidthRung, widthRungs } from "./width-rungs.js";

export interface DetectOptions {
  /** Standard deviation in samples of the peaks expected at an index. */
  readonly widthAt: (index: number) => number;
  /** False peaks accepted per record. @default 0.05 */
  readonly falsePeaks?: number;
  /** Overrides the threshold that follows from falsePeaks, in spreads of the filter output. */
  readonly threshold?: number;
  /** The most that something known to stand in the record (a corner of the programme) answers at an index. @default 0 */
  readonly knownAnswer?: (index: number, scale: number) => number;
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

/** What rises above the baseline and what falls below it, each in time order. */
export interface SignedCandidates {
  readonly peaks: readonly Candidate[];
  readonly dips: readonly Candidate[];
}

/** Filter scales as multiples of the expected peak width: the narrow one keeps close neighbours apart. */
const SCALES = [0.45, 0.8, 1.25] as const;
const FALSE_PEAKS = 0.05;
/** Answers of one peak at several scales lie within this many widths. */
const SAME_PEAK = 0.9;

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

/** Relative variance of the spread found in n samples of a filter's output, times n over its scale (derived, see below). */
const SPREAD_VARIANCE = 1.6;

/**
 * Factor on the threshold because the spread is only estimated: with a relative variance c² of the spread, a rate that
 * falls as exp(−U²/2) is on average exp(U⁴c²/2) times higher, which U(1 + U²c²/2) makes up for. For 1.4826·MAD of the
 * filter's output c² = 1.36·1.18 s/n, 1.36/n the variance for independent readings, 1.18 s the samples that count as
 * one: the sum over the correlations (1 − u² + u⁴/12)exp(−u²/4), u in scales, as the median sees them.
 */
function estimateFactor(threshold: number, scale: number, length: number): number {
  return 1 + 0.5 * threshold * threshold * Math.min((SPREAD_VARIANCE * scale) / length, 0.05);
}

/**
 * Peaks of a baseline-corrected, evenly sampled record with a stated rate of false ones, in time order.
 *
 * At each scale the local maxima of the zero-area filter above U spreads are candidates; those that several
 * scales see are one. Scales follow the expected width along the record. Candidates within three scales of the
 * ends are left out. O(n).
 *
 * @param y baseline-corrected signal
 */
export function detectPeaks(y: Float64Array, options: DetectOptions): readonly Candidate[] {
  return detect(y, options, false).peaks;
}

/** The same for both signs at once: `dips` answer the filter of the signal turned upside down. */
export function detectBothSigns(y: Float64Array, options: DetectOptions): SignedCandidates {
  return detect(y, options, true);
}

function detect(y: Float64Array, options: DetectOptions, both: boolean): SignedCandidates {
  const { widthAt, falsePeaks = FALSE_PEAKS } = options;
  const peaks: Candidate[] = [];
  const dips: Candidate[] = [];
  if (y.length === 0) return { peaks, dips };
  for (const rung of widthRungs(y.length, widthAt)) {
    for (const factor of SCALES) {
      const scale = Math.max(factor * rung.width, 1);
      const rice = detectionThreshold(y.length, scale, falsePeaks / SCALES.length);
      const limit = options.threshold ?? rice * estimateFactor(rice, scale, y.length);
      atScale(y, scale, limit, rung, options, peaks, both ? dips : undefined);
    }
  }
  const smooth = gaussianSmooth(y, Math.max(1, 0.3 * widthAt(y.length >> 1)));
  return { peaks: merge(peaks, smooth, widthAt, 1), dips: merge(dips, smooth, widthAt, -1) };
}

/** Adds the candidates of one scale within the stretches of a rung. */
function atScale(
  y: Float64Array,
  scale: number,
  threshold: number,
  { stretches }: WidthRung,
  { knownAnswer }: DetectOptions,
  peaks: Candidate[],
  dips: Candidate[] | undefined,
): void {
  const { values, step } = sparseResponse(y, scale);
  const spread = spreadOf(values, Math.ceil(scale / step));
  if (!(spread > 0)) return;
  const limit = threshold * spread;
  const edge = 3 * scale;
  for (const [from, to] of stretches) {
    const first = Math.max(1, Math.ceil(Math.max(from, edge) / step));
    const last = Math.min(values.length - 2, Math.floor((Math.min(to, y.length - edge) - 1) / step));
    for (let k = first; k <= last; k++) {
      const r = values[k];
      const sign = r > 0 ? 1 : -1;
      if (sign * r < limit || sign * r < sign * values[k - 1] || sign * r <= sign * values[k + 1]) continue;
      const list = r > 0 ? peaks : dips;
      if (list === undefined || !isHighest(values, k, scale / step, sign)) continue;
      const index = Math.min(Math.round(step * vertex(values, k) + 0.5 * (step - 1)), y.length - 1);
      if (r > 0 && knownAnswer !== undefined && r < limit + knownAnswer(index, scale)) continue;
      list.push({ index, significance: Math.abs(r) / spread, scale });
    }
  }
}

/** The filter's own spread; where most of a record is exactly flat, what rounding leaves of its largest answer. */
function spreadOf(values: Float64Array, grow: number): number {
  const spread = robustSpread(values, grow);
  if (spread > 0) return spread;
  let largest = 0;
  for (const r of values) if (Math.abs(r) > largest) largest = Math.abs(r);
  return 1e-9 * largest;
}

/**
 * Whether a local maximum is the highest answer around, and no ripple: the filter answers a strong peak with two
 * negative lobes and, on their far sides, with small positive ones. A candidate beside a lobe of a much stronger
 * answer is that ripple, not a peak.
 */
function isHighest(values: Float64Array, at: number, scale: number, sign: number): boolean {
  const near = Math.max(2, Math.round(0.8 * scale));
  const far = Math.ceil(5.5 * scale);
  const r = sign * values[at];
  const to = Math.min(values.length - 1, at + far);
  for (let k = Math.max(0, at - far); k <= to; k++) {
    const other = sign * values[k];
    if (other > (Math.abs(k - at) <= near ? r : 3e3 * r)) return false;
  }
  return true;
}

function vertex(values: Float64Array, at: number): number {
  const bend = values[at - 1] - 2 * values[at] + values[at + 1];
  if (bend === 0) return at;
  return at + Math.min(Math.max((0.5 * (values[at - 1] - values[at + 1])) / bend, -0.5), 0.5);
}

/** Joins the answers of the scales: within 0.9 widths the most significant one stands for all. */
function merge(
  found: Candidate[],
  smooth: Float64Array,
  widthAt: (i: number) => number,
  sign: 1 | -1,
): Candidate[] {
  const byIndex = [...found].sort((a, b) => a.index - b.index);
  const position = new Map(byIndex.map((c, k) => [c, k]));
  const taken = new Uint8Array(byIndex.length);
  const kept: Candidate[] = [];
  const widest = SAME_PEAK * byIndex.reduce((most, c) => Math.max(most, widthAt(c.index)), 0);
  for (const c of [...found].sort((a, b) => b.significance - a.significance)) {
    const at = position.get(c) ?? 0;
    if (taken[at] === 1) continue;
    kept.push(c);
    for (const direction of [-1, 1]) {
      for (let k = at + direction; k >= 0 && k < byIndex.length; k += direction) {
        const other = byIndex[k];
        if (Math.abs(other.index - c.index) > widest) break;
        if (Math.abs(other.index - c.index) <= SAME_PEAK * widthAt(other.index)) taken[k] = 1;
      }
    }
  }
  return kept
    .sort((a, b) => a.index - b.index)
    .map((c) => ({ ...c, index: climb(smooth, c.index, widthAt(c.index), sign) }));
}

/** Moves a candidate to the local extreme of the smoothed signal within half a width, where there is one. */
function climb(smooth: Float64Array, at: number, width: number, sign: 1 | -1): number {
  const reach = Math.max(1, Math.round(0.5 * width));
  let best = at;
  for (let k = Math.max(1, at - reach); k <= Math.min(smooth.length - 2, at + reach); k++) {
    if (sign * smooth[k] > sign * smooth[best]) best = k;
  }
  const isExtreme =
    best > 0 &&
    best < smooth.length - 1 &&
    sign * smooth[best] >= sign * smooth[best - 1] &&
    sign * smooth[best] >= sign * smooth[best + 1];
  return isExtreme ? best : at;
}

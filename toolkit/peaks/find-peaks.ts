import { IonbookError } from "../errors.js";
import { type Baseline, estimateBaseline } from "../signal/baseline.js";
import type { Chromatogram } from "../signal/chromatogram.js";
import { medianPeakWidth } from "../signal/peak-width.js";
import { requireChromatogram } from "../signal/require-chromatogram.js";
import { gaussianSmooth } from "../signal/smooth.js";
import { evenInterval, indexAt } from "../signal/time-axis.js";
import { type Candidate, detectPeaks } from "./detect.js";
import { robustSpread, secondDerivativeFilter } from "./second-derivative-filter.js";

export interface FindPeaksOptions {
  /** Peaks lower than this many noise standard deviations are left out. @default 3 */
  readonly minimumSignalToNoise?: number;
  /** Standard deviation of a typical peak, min. @default the median of the clear peaks of the record */
  readonly peakWidth?: number;
  /** The baseline to stand on. @default `estimateBaseline` over from…to */
  readonly baseline?: Baseline;
  /** Region, min; 0 is the whole record. @default the end of the void to the end of the record */
  readonly from?: number;
  readonly to?: number;
}

/** A peak seen above the baseline; times in min, height in the signal's unit. */
export interface FoundPeak {
  /** Apex, from the parabola through the three highest smoothed samples. */
  readonly retentionTime: number;
  readonly height: number;
  /** Limits: the valley to a neighbour, or where the signal has come back to the baseline. */
  readonly start: number;
  readonly end: number;
  /** Height over the standard deviation of the noise of this record. */
  readonly signalToNoise: number;
  /** Apex, min, of the higher neighbour from which no valley separates this peak; undefined for a peak of its own. */
  readonly shoulderOf: number | undefined;
}

/** A peak without an own valley counts as come back to the baseline at this share of its height. */
const BASE_SHARE = 1e-3;
/** Standard deviation assumed where no peak is clear enough to be measured, min (about 6 s; common practice, no source). */
const TYPICAL_PEAK_WIDTH = 0.1;

/**
 * The peaks of a chromatogram, in order of time: places where a zero-area filter at three scales answers above the
 * threshold that lets 0.05 false peaks through per record of pure noise.
 *
 * Times in min, heights in the signal's unit above the baseline. Valid for even sampling and peaks of 0.4 to 1.5
 * times the typical width; O(n).
 *
 * @throws IonbookError `not-a-chromatogram`; `uneven-sampling`, `short-stretch` as `estimateBaseline`; `bad-baseline` for a baseline of
 *   another record; `bad-width` for a width that is not positive
 * @source filter and threshold: as `detectPeaks`
 */
export function findPeaks(chromatogram: Chromatogram, options: FindPeaksOptions = {}): readonly FoundPeak[] {
  requireChromatogram(chromatogram, "findPeaks");
  const view = correctedView(chromatogram, options);
  const { minimumSignalToNoise = 3 } = options;
  const found = detectPeaks(view.y, { widthAt: () => view.sigma });
  const bounds = boundsBetween(found, view);
  return found.flatMap((_, k) => {
    const peak = describe(found, k, bounds, view);
    return peak.height > 0 && peak.signalToNoise >= minimumSignalToNoise ? [peak] : [];
  });
}

/** The region of a record above its baseline, with what detection needs to know of it. */
interface CorrectedView {
  readonly y: Float64Array;
  readonly smooth: Float64Array;
  /** Where the smoothed signal bends most, for neighbours without a valley. */
  readonly bend: Float64Array;
  readonly interval: number;
  readonly start: number;
  /** Typical standard deviation, samples. */
  readonly sigma: number;
  readonly noise: number;
}

function correctedView(chromatogram: Chromatogram, options: FindPeaksOptions): CorrectedView {
  const { time, signal } = chromatogram;
  const region = {
    ...(options.from === undefined ? {} : { from: options.from }),
    ...(options.to === undefined ? {} : { to: options.to }),
  };
  const baseline = options.baseline ?? estimateBaseline(chromatogram, region);
  if (baseline.values.length !== time.length) {
    throw new IonbookError(
      "bad-baseline",
      `the baseline has ${baseline.values.length} samples, ${chromatogram.id} has ${time.length}: give the baseline of this record`,
    );
  }
  const first = indexAt(time, Math.max(baseline.from, options.from ?? baseline.from));
  const last = indexAt(time, Math.min(baseline.to, options.to ?? baseline.to));
  const interval = evenInterval(chromatogram, first, last);
  const y = signal.slice(first, last + 1);
  for (let i = 0; i < y.length; i++) y[i] -= baseline.values[first + i];
  const sigma =
    options.peakWidth === undefined
      ? medianPeakWidth(y, TYPICAL_PEAK_WIDTH / interval)
      : options.peakWidth / interval;
  if (!(sigma > 0)) {
    throw new IonbookError(
      "bad-width",
      `a peak width of ${options.peakWidth} min makes no peak: give a positive one`,
    );
  }
  const smooth = gaussianSmooth(y, Math.max(0.7, 0.3 * sigma));
  const bend = secondDerivativeFilter(y, Math.max(1, 0.45 * sigma));
  return { y, smooth, bend, interval, start: time[first], sigma, noise: noiseBelow(y, sigma) };
}

/** Spread of what is faster than the peaks, peaks left out. */
function noiseBelow(y: Float64Array, sigma: number): number {
  const slow = gaussianSmooth(y, 2 * sigma);
  return robustSpread(
    y.map((value, i) => value - slow[i]),
    Math.ceil(sigma),
  );
}

/** Where one candidate ends and the next begins, and whether a valley lies there. */
interface Bound {
  readonly index: number;
  readonly valley: boolean;
}

function boundsBetween(found: readonly Candidate[], { smooth, bend }: CorrectedView): readonly Bound[] {
  const bounds: Bound[] = [{ index: 0, valley: true }];
  for (let k = 1; k < found.length; k++) {
    const [a, b] = [found[k - 1].index, found[k].index];
    const lowest = lowestBetween(smooth, a, b);
    const valley = lowest > a && lowest < b;
    bounds.push({ index: valley ? lowest : lowestBetween(bend, a, b), valley });
  }
  return [...bounds, { index: smooth.length - 1, valley: true }];
}

function lowestBetween(values: Float64Array, from: number, to: number): number {
  let lowest = from;
  for (let i = from; i <= to; i++) if (values[i] < values[lowest]) lowest = i;
  return lowest;
}

function describe(
  found: readonly Candidate[],
  k: number,
  bounds: readonly Bound[],
  { y, smooth, noise, interval, start }: CorrectedView,
): FoundPeak {
  const { index } = found[k];
  const height = y[index];
  const base = Math.max(2 * noise, BASE_SHARE * height);
  let first = index;
  while (first > bounds[k].index && smooth[first] > base) first--;
  let last = index;
  while (last < bounds[k + 1].index && smooth[last] > base) last++;
  const timeOf = (at: number) => start + vertex(smooth, at) * interval;
  const host = higherNeighbour(found, k, bounds, smooth);
  return {
    retentionTime: timeOf(index),
    height,
    start: start + first * interval,
    end: start + last * interval,
    signalToNoise: noise > 0 ? height / noise : Number.POSITIVE_INFINITY,
    shoulderOf: host === undefined ? undefined : timeOf(host),
  };
}

/** Apex index of the highest neighbour that is higher and joined without a valley. */
function higherNeighbour(
  found: readonly Candidate[],
  k: number,
  bounds: readonly Bound[],
  smooth: Float64Array,
): number | undefined {
  const joined: number[] = [];
  if (!bounds[k].valley) joined.push(found[k - 1].index);
  if (!bounds[k + 1].valley) joined.push(found[k + 1].index);
  const higher = joined.filter((at) => smooth[at] > smooth[found[k].index]);
  return higher.sort((a, b) => smooth[b] - smooth[a])[0];
}

/** Top of the parabola through a sample and its neighbours, at most half a sample away. */
function vertex(y: Float64Array, at: number): number {
  if (at < 1 || at > y.length - 2) return at;
  const curvature = y[at - 1] - 2 * y[at] + y[at + 1];
  if (!(curvature < 0)) return at;
  return at + Math.min(Math.max((0.5 * (y[at - 1] - y[at + 1])) / curvature, -0.5), 0.5);
}

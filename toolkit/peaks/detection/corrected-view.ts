import { IonbookError } from "../../errors.js";
import type { Baseline } from "../../signal/baseline.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { whiteNoise } from "../../signal/noise.js";
import { medianPeakWidth } from "../../signal/peak-width.js";
import { gaussianSmooth } from "../../signal/smooth.js";
import { evenInterval, indexAt } from "../../signal/time-axis.js";
import { robustSpread, secondDerivativeFilter } from "./second-derivative-filter.js";

/** The region of a record above its baseline, with what detection needs to know of it. */
export interface CorrectedView {
  /** Signal less baseline, in units of `unit`. */
  readonly y: Float64Array;
  readonly smooth: Float64Array;
  /** Largest |signal less baseline|, in the signal's unit: readings of any size are worked with at about 1. */
  readonly unit: number;
  /** min */
  readonly interval: number;
  /** Index and time of the region's first sample. */
  readonly first: number;
  readonly start: number;
  /** Typical standard deviation of a peak, samples. */
  readonly sigma: number;
  /** Spread of what is faster than the peaks; at least what rounding leaves of the signal. */
  readonly noise: number;
}

/** Standard deviation assumed where no peak is clear enough to be measured, min (about 6 s; common practice, no source). */
const TYPICAL_PEAK_WIDTH = 0.1;
/** Shares of a peak's width over which detection smooths, and over which it looks for a bend. */
const SMOOTHING = 0.3;
const BENDING = 0.45;

/**
 * The region from…to of a record above a baseline.
 *
 * @param peakWidth standard deviation of a typical peak, min. @default the median of the record's clear peaks
 * @throws IonbookError `bad-baseline`, `bad-width`, `uneven-sampling`, `short-stretch`, `out-of-range`
 */
export function correctedView(
  chromatogram: Chromatogram,
  baseline: Baseline,
  { from, to, peakWidth }: { readonly from?: number; readonly to?: number; readonly peakWidth?: number },
): CorrectedView {
  const { id, time, signal } = chromatogram;
  if (baseline.values.length !== time.length) {
    throw new IonbookError(
      "bad-baseline",
      `the baseline has ${baseline.values.length} samples, ${id} has ${time.length}: give the baseline of this record`,
    );
  }
  const first = indexAt(time, Math.max(baseline.from, from ?? baseline.from));
  const last = indexAt(time, Math.min(baseline.to, to ?? baseline.to));
  if (last - first < 9) {
    throw new IonbookError(
      "short-stretch",
      `the region ${from ?? baseline.from}–${to ?? baseline.to} min of ${id} holds fewer than 10 samples: give a wider from/to`,
    );
  }
  const interval = evenInterval(chromatogram, first, last);
  const y = signal.slice(first, last + 1);
  let largest = 0;
  for (let i = 0; i < y.length; i++) {
    y[i] -= baseline.values[first + i];
    if (!(Math.abs(y[i]) <= largest)) largest = Math.abs(y[i]);
  }
  if (!Number.isFinite(largest)) {
    throw new IonbookError(
      "out-of-range",
      `${id} less its baseline is beyond double precision: give the signal in another unit, or a region that the baseline covers`,
    );
  }
  // A power of two, so that nothing is rounded.
  const unit = largest > 0 ? 2 ** Math.floor(Math.log2(Math.max(largest, 1e-307))) : 1;
  for (let i = 0; i < y.length; i++) y[i] /= unit;
  const sigma =
    peakWidth === undefined
      ? medianPeakWidth(withoutDips(y), TYPICAL_PEAK_WIDTH / interval)
      : peakWidth / interval;
  if (!(sigma > 0 && Number.isFinite(sigma)))
    throw new IonbookError(
      "bad-width",
      `a peak width of ${peakWidth} min makes no peak: give a positive one`,
    );
  const noise = Math.max(noiseBelow(y, sigma), roundingOf(signal, first, last) / unit);
  return { y, smooth: smoothed(y, sigma), unit, interval, first, start: time[first], sigma, noise };
}

/** Below this many white standard deviations under the baseline stands a dip. */
const DEEPEST_NOISE = 12;

/** Cut off where it falls below the noise: a dip would draw down the rough baseline over which widths are measured. */
function withoutDips(y: Float64Array): Float64Array {
  const least = -DEEPEST_NOISE * whiteNoise(y);
  return y.map((value) => Math.max(value, least));
}

/** The signal as limits and apexes are read from it. */
export function smoothed(y: Float64Array, sigma: number): Float64Array {
  return gaussianSmooth(y, Math.max(0.7, SMOOTHING * sigma));
}

/** Where the signal bends most, for neighbours without a valley. */
export function bendOf({ y, sigma }: CorrectedView): Float64Array {
  return secondDerivativeFilter(y, Math.max(1, BENDING * sigma));
}

/** Spread of what is faster than the peaks, peaks left out. */
function noiseBelow(y: Float64Array, sigma: number): number {
  const fast = gaussianSmooth(y, 2 * sigma);
  for (let i = 0; i < y.length; i++) fast[i] = y[i] - fast[i];
  return robustSpread(fast, Math.ceil(sigma));
}

/** What double precision leaves of the largest reading. */
function roundingOf(signal: Float64Array, first: number, last: number): number {
  let largest = 0;
  for (let i = first; i <= last; i++) if (Math.abs(signal[i]) > largest) largest = Math.abs(signal[i]);
  return Math.max(Number.EPSILON * largest, Number.MIN_VALUE);
}

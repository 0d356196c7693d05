import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { type Baseline, estimateBaseline } from "../../signal/baseline.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { whiteNoise } from "../../signal/noise.js";
import { widthAtHalf } from "../../signal/peak-width.js";
import { requireChromatogram } from "../../signal/require-chromatogram.js";
import { gaussianSmooth } from "../../signal/smooth.js";
import { evenInterval, stretchOf } from "../../signal/time-axis.js";
import type { ProfileInSamples } from "./rider-profile.js";

export interface MajorProfileOptions {
  /** Where the major stands, min; its apex is looked for within half a minute. @default the highest peak */
  readonly retentionTime?: number;
  /** Baseline of the record. @default estimated */
  readonly baseline?: Baseline;
}

/** A major component as it looks when it is injected alone: the background for what rides on its flanks. */
export interface MajorProfile {
  readonly kind: "major-profile";
  readonly chromatogram: Chromatogram;
  /** Apex, min. */
  readonly retentionTime: number;
  /** Half-height width over 2.355, min. */
  readonly sigma: number;
  /** Height above the baseline, in the record's unit. */
  readonly height: number;
  /** min between values */
  readonly interval: number;
  /** Time of the first value, min. */
  readonly start: number;
  /** Signal above the level before and after the peak, in the record's unit. */
  readonly values: Float64Array;
  /** White standard deviation of the record, in its unit. */
  readonly white: number;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** The level before and after is read this far from the apex, in σ. */
const LEVEL_BEFORE = 8;
const LEVEL_BEHIND = 60;
/** A major without this height over the noise is no background for anything. */
const LEAST_SIGNAL_TO_NOISE = 50;

/**
 * Profile of a major component from an injection of it alone, at about the amount of the samples (± 3 % is well enough).
 *
 * Not smoothed: that would widen its flanks. The estimated baseline is read only 8 σ before and up to 60 σ behind
 * the apex and joined by a chord, so that it takes nothing of a slow tail. Times in min, values in the record's unit.
 *
 * @throws IonbookError `not-a-chromatogram`; `uneven-sampling`; `no-peak` where no peak stands 50 times above the noise
 * @source derived
 */
export function majorProfile(chromatogram: Chromatogram, options: MajorProfileOptions = {}): MajorProfile {
  requireChromatogram(chromatogram, "majorProfile");
  const baseline = options.baseline ?? estimateBaseline(chromatogram);
  const { first, last } = stretchOf(chromatogram.time, baseline.from, baseline.to);
  const interval = evenInterval(chromatogram, first, last);
  const time = chromatogram.time.slice(first, last + 1);
  const signal = chromatogram.signal.slice(first, last + 1);
  const level = baseline.values.slice(first, last + 1);
  const above = signal.map((value, i) => value - level[i]);
  const white = whiteNoise(signal);
  const smooth = gaussianSmooth(above, 1);
  const apex = apexNear(time, smooth, options.retentionTime);
  const width = smooth[apex] > LEAST_SIGNAL_TO_NOISE * white ? widthAtHalf(smooth, apex) : undefined;
  if (width === undefined) {
    throw new IonbookError(
      "no-peak",
      `${chromatogram.id} holds no free-standing peak ${LEAST_SIGNAL_TO_NOISE} times above its noise${options.retentionTime === undefined ? "" : ` near ${options.retentionTime} min`}; give the record of the major injected alone, and its retentionTime in min`,
    );
  }
  const sigma = width / 2.3548;
  const text = `profile of a major at ${time[apex].toFixed(2)} min, ${smooth[apex].toPrecision(3)} ${chromatogram.signalUnit} high, from ${chromatogram.id}`;
  return {
    kind: "major-profile",
    chromatogram,
    retentionTime: time[apex],
    sigma: sigma * interval,
    height: smooth[apex],
    interval,
    start: time[0],
    values: withoutChord(signal, level, apex - LEVEL_BEFORE * sigma, apex + LEVEL_BEHIND * sigma),
    white,
    toString: () => text,
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  };
}

/**
 * A profile laid under a record of another sampling rate.
 *
 * @param interval of the record, min
 * @param white standard deviation of the record
 */
export function profileInSamples(profile: MajorProfile, interval: number, white: number): ProfileInSamples {
  return {
    values: profile.values,
    apex: (profile.retentionTime - profile.start) / profile.interval,
    step: interval / profile.interval,
    noise: profile.white / Math.max(white, Number.MIN_VALUE),
  };
}

/** Index of the highest point, near the place given. */
function apexNear(time: Float64Array, y: Float64Array, retentionTime: number | undefined): number {
  let at = 0;
  if (retentionTime === undefined) {
    for (let i = 1; i < y.length; i++) if (y[i] > y[at]) at = i;
    return at;
  }
  for (let i = 1; i < y.length; i++)
    if (Math.abs(time[i] - retentionTime) < Math.abs(time[at] - retentionTime)) at = i;
  const interval = (time[time.length - 1] - time[0]) / Math.max(time.length - 1, 1);
  const reach = Math.round(SEARCHED / interval);
  const [from, to] = [Math.max(0, at - reach), Math.min(y.length - 1, at + reach)];
  for (let i = from; i <= to; i++) if (y[i] > y[at]) at = i;
  return at;
}

/** How far from the place given the apex is looked for, min. */
const SEARCHED = 0.5;

/** The signal above the chord between the baseline's values at two places. */
export function withoutChord(
  signal: Float64Array,
  level: Float64Array,
  from: number,
  to: number,
): Float64Array {
  const a = Math.min(Math.max(Math.round(from), 0), signal.length - 2);
  const b = Math.min(Math.max(Math.round(to), a + 1), signal.length - 1);
  const slope = (level[b] - level[a]) / (b - a);
  return signal.map((value, i) => value - level[a] - slope * (i - a));
}

import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import type { Chromatogram } from "./chromatogram.js";
import { residualScatter } from "./noise.js";
import { requireChromatogram } from "./require-chromatogram.js";
import { straightLine } from "./straight-line.js";
import { stretchOf } from "./time-axis.js";

export interface PharmacopoeialNoiseOptions {
  /** Where the peak would stand, min. */
  readonly retentionTime: number;
  /** Its width at half height, min. */
  readonly widthAtHalfHeight: number;
  /** Length of the window in these widths. @default 5 */
  readonly widths?: number;
}

/** Peak-to-peak noise of a blank around the place of a peak, in the signal's unit. */
export interface PharmacopoeialNoise {
  readonly kind: "pharmacopoeial-noise";
  /** Highest minus lowest reading. */
  readonly h: number;
  /** Standard deviation about a straight line over the same window. */
  readonly rms: number;
  /** The window, min, and the readings in it. */
  readonly from: number;
  readonly to: number;
  readonly samples: number;
  /** Between two readings, min. */
  readonly interval: number;
  /** Of h and rms. */
  readonly unit: string;
  /** Length of the window in widths at half height. */
  readonly widths: number;
  toString(): string;
}

/**
 * The noise h of a blank in the sense of the pharmacopoeias: highest minus lowest reading over a window of `widths`
 * widths at half height centred where the peak would be. Signal-to-noise in that sense is 2H/h, H the peak's height.
 *
 * Signal's unit; times in min. Nothing is taken off the readings, so drift counts in h (rms is about a straight line).
 * h grows with the number of readings: state window and sampling rate with it. O(n).
 *
 * @throws IonbookError `not-a-chromatogram`; `bad-width` for a width that is not positive or fewer than 5 widths;
 *   `short-stretch` where the blank does not cover the window or holds fewer than 5 readings in it; `out-of-range`
 * @source Ph. Eur. 2.2.46 and the note of December 2022 restoring "at least five times the width at half height";
 *   USP ⟨621⟩ (from memory)
 */
export function pharmacopoeialNoise(
  blank: Chromatogram,
  options: PharmacopoeialNoiseOptions,
): PharmacopoeialNoise {
  requireChromatogram(blank, "pharmacopoeialNoise");
  const { id, time, signal, signalUnit } = blank;
  const { retentionTime, widthAtHalfHeight, widths = 5 } = options;
  if (!(widthAtHalfHeight > 0) || !(widths >= 5)) {
    throw new IonbookError(
      "bad-width",
      `a window of ${widths} widths of ${widthAtHalfHeight} min is none: give a positive width at half height and at least 5 widths`,
    );
  }
  const half = (widths * widthAtHalfHeight) / 2;
  const [start, end] = [retentionTime - half, retentionTime + half];
  const { first, last, count: samples } = stretchOf(time, start, end);
  const interval = (time[last] - time[first]) / (last - first);
  const covered = time[first] - start < 1.01 * interval && end - time[last] < 1.01 * interval;
  if (samples < 5 || !covered) {
    throw new IonbookError(
      "short-stretch",
      `blank ${id} (${time[0]}–${time[time.length - 1]} min) does not show the window ${start}–${end} min with 5 readings or more: record a longer blank`,
    );
  }
  let [low, high] = [signal[first], signal[first]];
  for (let i = first; i <= last; i++) {
    if (signal[i] < low) low = signal[i];
    if (signal[i] > high) high = signal[i];
  }
  const h = high - low;
  const { rms } = residualScatter(time, signal, first, last, straightLine(time, signal, first, last));
  if (!Number.isFinite(h) || !Number.isFinite(rms)) {
    throw new IonbookError("out-of-range", `readings of ${id} differ by more than double precision holds`);
  }
  const text = `h = ${h.toPrecision(3)} ${signalUnit}: highest − lowest of ${id}, ${time[first].toFixed(2)} to ${time[last].toFixed(2)} min, ${samples} samples`;
  return {
    kind: "pharmacopoeial-noise",
    h,
    rms,
    from: time[first],
    to: time[last],
    samples,
    interval,
    unit: signalUnit,
    widths,
    toString: () => text,
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  } as PharmacopoeialNoise;
}

import type { Chromatogram } from "./chromatogram.js";
import { type BlankAlignment, bestShift, fitGain } from "./fit-gain.js";
import { stretchOf } from "./time-axis.js";

export interface AlignmentBounds {
  /** min */
  readonly maximumShift: number;
  /** Largest departure of the gain from 1. */
  readonly maximumGain: number;
}

/** min */
interface Region {
  readonly from: number;
  readonly to: number;
}

/** Moving the blank must lower the r.m.s. by this share; without a bend in the blank nothing tells a shift. */
const WORTH_MOVING = 0.01;
/**
 * The shift, gain and offset that lay a blank under a record with the least weighted squares. O(n) per shift.
 *
 * @param laid the blank at given times (min), moved by a shift (min)
 * @param weights of the record's readings, ≥ 0
 * @param sigma standard deviation of the widest peak, min
 */
export function alignBlank(
  { time, signal }: Chromatogram,
  laid: (at: Float64Array, shift: number) => Float64Array,
  weights: Float64Array,
  { from, to }: Region,
  sigma: number,
  { maximumShift, maximumGain }: AlignmentBounds,
): BlankAlignment {
  const { first, last } = stretchOf(time, from, to);
  const interval = (time[last] - time[first]) / (last - first);
  const points = inBlocks(
    time,
    signal,
    weights,
    [first, last],
    Math.max(1, Math.round(sigma / (2 * interval))),
  );
  const fit = (shift: number, gains: readonly [number, number]) =>
    fitGain(points.y, laid(points.time, shift), points.w, gains, shift);
  const still = fit(0, [1, 1]);
  const gains = [1 - maximumGain, 1 + maximumGain] as const;
  const moved = bestShift((shift) => fit(shift, gains), maximumShift, interval);
  return moved.rms < (1 - WORTH_MOVING) * still.rms ? moved : still;
}

/** Weighted means over blocks of half a σ: the course of a programme has nothing finer. */
function inBlocks(
  time: Float64Array,
  signal: Float64Array,
  weights: Float64Array,
  [first, last]: readonly [number, number],
  size: number,
) {
  const count = Math.ceil((last - first + 1) / size);
  const [y, w, t] = [0, 1, 2].map(() => new Float64Array(count));
  for (let k = 0; k < count; k++) {
    const end = Math.min(first + (k + 1) * size, last + 1);
    for (let i = first + k * size; i < end; i++) {
      // A floor keeps the mean of a block without weight defined; the block then counts for nothing.
      const weight = weights[i] + 1e-12;
      w[k] += weight;
      y[k] += weight * signal[i];
      t[k] += weight * time[i];
    }
    y[k] /= w[k];
    t[k] /= w[k];
  }
  return { y, w, time: t };
}

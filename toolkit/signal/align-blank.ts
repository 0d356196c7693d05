import { longRunVariance, withoutOutliers } from "./alignment-weights.js";
import type { Chromatogram } from "./chromatogram.js";
import { type BlankAlignment, bestShift, gainFitBesideWander } from "./fit-gain.js";
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
/** Blocks in one σ of the widest peak. */
const BLOCKS_PER_WIDTH = 2;
/** Width, in σ of the widest peak, from which a wave is the day's wander and tells nothing of the programme. */
const WANDER_WIDTHS = 8;
/** What a bound means for the shift and the gain that are likely: it lies three standard deviations away. */
const DEVIATIONS_TO_BOUND = 3;
/** Rounds of weighing down what fits neither the blank nor a wander. */
const ROUNDS = 4;

/**
 * The shift, gain and offset that lay a blank under a record, beside a smooth wander of the day, with the least weighted
 * squares; where the record tells little of them they stay near 0 and 1. O(n) per shift.
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
  const size = Math.max(1, Math.round(sigma / (BLOCKS_PER_WIDTH * interval)));
  const points = inBlocks(time, signal, weights, [first, last], size);
  const lambda = (WANDER_WIDTHS * BLOCKS_PER_WIDTH) ** 4;
  const gains = [1 - maximumGain, 1 + maximumGain] as const;
  let { w } = points;
  let variance = 0;
  for (let round = 0; ; round++) {
    const usual = {
      shift: pull(variance, maximumShift),
      gain: pull(variance, maximumGain),
    };
    const fit = gainFitBesideWander(points.y, w, lambda, usual);
    const at = (shift: number, within: readonly [number, number]) =>
      fit.at(laid(points.time, shift), within, shift);
    const still = at(0, [1, 1]);
    const moved = bestShift((shift) => at(shift, gains), maximumShift, interval);
    const best = moved.rms < (1 - WORTH_MOVING) * still.rms ? moved : still;
    if (round === ROUNDS) return best;
    const left = fit.left(laid(points.time, best.shift), best);
    w = withoutOutliers(points.w, left);
    variance = longRunVariance(w, left);
  }
}

/** Cost of a departure of 1 from what is usual, beside squares of residuals of this variance. */
function pull(variance: number, bound: number): number {
  return bound > 0 ? variance * (DEVIATIONS_TO_BOUND / bound) ** 2 : 0;
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

import { createWhittakerSolver } from "../numeric/whittaker.js";
import { endOfVoid } from "./baseline.js";
import type { Chromatogram } from "./chromatogram.js";
import { indexAt, stretchOf } from "./time-axis.js";

/** A reading this many times the typical step away from both neighbours is a spike, not the programme's course. */
const SPIKE = 8;

/**
 * What the programme alone does to the signal: the mean of the blanks on the times of the first, smoothed by a Whittaker
 * smoother of the width of the narrowest wave that a baseline may hold, (σ/interval)⁴, spikes left out. The void before
 * is not smoothed: its dip would spread over what follows.
 *
 * @param blanks at least one; further ones are interpolated linearly at the first one's times
 * @param sigma standard deviation of the widest peak, min
 */
export function blankCourse(blanks: readonly Chromatogram[], sigma: number): Float64Array {
  const [{ time }] = blanks;
  const mean = new Float64Array(time.length);
  for (const { time: own, signal } of blanks) {
    let j = 0;
    for (let i = 0; i < time.length; i++) {
      while (j < own.length - 2 && own[j + 1] < time[i]) j++;
      mean[i] += between(own, signal, j, time[i]) / blanks.length;
    }
  }
  const { first } = stretchOf(time, endOfVoid(blanks[0]));
  const interval = (time[time.length - 1] - time[0]) / (time.length - 1);
  const rest = mean.slice(first);
  if (rest.length < 10) return mean;
  const out = new Float64Array(rest.length);
  createWhittakerSolver(rest.length).solveInto(out, rest, spikeWeights(rest), (sigma / interval) ** 4);
  mean.set(out, first);
  return mean;
}

/** Values at a shifted time, on straight lines between the readings; beyond the ends the end's own. */
export function shifted(
  time: Float64Array,
  values: Float64Array,
  at: Float64Array,
  shift: number,
): Float64Array {
  const out = new Float64Array(at.length);
  let j = indexBefore(time, at[0] - shift);
  for (let i = 0; i < at.length; i++) {
    const t = at[i] - shift;
    while (j < time.length - 2 && time[j + 1] < t) j++;
    out[i] = between(time, values, j, t);
  }
  return out;
}

function indexBefore(time: Float64Array, t: number): number {
  return Math.min(Math.max(indexAt(time, t) - 1, 0), time.length - 2);
}

function between(time: Float64Array, values: Float64Array, j: number, t: number): number {
  const f = Math.min(Math.max((t - time[j]) / (time[j + 1] - time[j]), 0), 1);
  return values[j] + f * (values[j + 1] - values[j]);
}

function spikeWeights(y: Float64Array): Float64Array {
  const steps = y.slice(1).map((value, i) => Math.abs(value - y[i]));
  const typical = steps.slice().sort()[steps.length >> 1];
  return y.map((value, i) => {
    const before = y[Math.max(i - 1, 0)];
    const after = y[Math.min(i + 1, y.length - 1)];
    const away = Math.min(Math.abs(value - before), Math.abs(value - after));
    const alone = i === 0 ? Math.abs(value - after) : i === y.length - 1 ? Math.abs(value - before) : away;
    return alone > SPIKE * typical && (value - before) * (value - after) >= 0 ? 1e-8 : 1;
  });
}

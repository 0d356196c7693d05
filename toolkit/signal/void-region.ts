import { median } from "../numeric/robust.js";
import { whiteNoise } from "./noise.js";
import { gaussianSmooth } from "./smooth.js";
import { indexAt } from "./time-axis.js";

export interface VoidRegion {
  /** First time at which the recovery after the dip no longer shows, min; the hold-up time where there is no dip. */
  readonly end: number;
  /** Time of the dip's minimum, min; undefined where none was found. */
  readonly dip: number | undefined;
}

/**
 * Where the disturbance of the unretained water plug ends, so that the baseline can start behind it.
 *
 * Looks for the deepest fall of the smoothed signal within the search stretch below the level that follows
 * it, fits the exponential recovery between 50 % and 10 % of the depth, and takes the time at which it has
 * fallen below half the noise standard deviation. Never earlier than 1.3 hold-up times where a dip exists.
 *
 * @param time min, evenly sampled
 * @param signal any unit
 * @param holdUpTime min
 */
export function voidRegion(time: Float64Array, signal: Float64Array, holdUpTime: number): VoidRegion {
  const n = time.length;
  const interval = (time[n - 1] - time[0]) / (n - 1);
  const noise = whiteNoise(signal);
  const smooth = gaussianSmooth(signal, Math.max(1, 0.01 / interval));
  const from = indexAt(time, 0.6 * holdUpTime);
  const to = indexAt(time, 1.8 * holdUpTime);
  let lowest = from;
  for (let i = from; i <= to; i++) if (smooth[i] < smooth[lowest]) lowest = i;
  const [a, b] = [indexAt(time, 2 * holdUpTime), indexAt(time, 2.6 * holdUpTime)];
  const level = median(smooth.subarray(a, Math.max(b, a + 1)));
  const depth = level - smooth[lowest];
  if (!(depth > 20 * noise) || lowest === from || lowest === to) return { end: holdUpTime, dip: undefined };
  const half = firstAbove(smooth, lowest, level - 0.5 * depth);
  const tenth = firstAbove(smooth, half, level - 0.1 * depth);
  const tau = Math.max((time[tenth] - time[half]) / Math.log(5), interval);
  const recovered = time[tenth] + tau * Math.log(Math.max((0.1 * depth) / (0.5 * noise), 1));
  return { end: Math.max(recovered, 1.3 * holdUpTime), dip: time[lowest] };
}

function firstAbove(y: Float64Array, from: number, level: number): number {
  let i = from;
  while (i < y.length - 1 && y[i] < level) i++;
  return i;
}

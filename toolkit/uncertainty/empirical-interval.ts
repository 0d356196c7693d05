import { withScratch } from "./scratch.js";

/** Two ends, in the unit of the values. */
export interface Ends {
  readonly low: number;
  readonly high: number;
}

export interface EmpiricalIntervals {
  /** Equal probability on both sides. */
  readonly symmetric: Ends;
  /** The shortest of all intervals that hold the same number of values. */
  readonly shortest: Ends;
}

/** Values looked at to guess where the tails begin. */
const SAMPLE = 8192;
/** The guess errs to the safe side by so many of its standard deviations. */
const MARGIN = 5;

/**
 * Coverage intervals of M simulated values, none of them NaN:
 *
 *     q = level·M rounded,  symmetric [y(r), y(r + q)] with r = (M − q)/2 rounded up
 *     shortest: the [y(r), y(r + q)] of least length, r = 1 … M − q
 *
 * y(r) the r-th smallest value. Only the two tails of M − q values are ever sorted; where the tails begin is guessed
 * from a sample, and all values are sorted only where the guess fails or the tails hold most of the values.
 * Cost O(M + t·log t), t = M − q. The values must not depend on their place in the list (independent trials).
 *
 * @source JCGM 101:2008, 7.7
 */
export function empiricalIntervals(values: Float64Array, level: number): EmpiricalIntervals {
  const count = values.length;
  const outside = Math.max(1, count - Math.round(level * count));
  return (
    fromGuessedTails(values, outside) ??
    withScratch(count, (all) => {
      all.set(values);
      all.sort();
      return fromTails(all, all, outside);
    })
  );
}

/** @param low, high sorted values that begin with the smallest and end with the largest `outside` of all */
function fromTails(low: Float64Array, high: Float64Array, outside: number): EmpiricalIntervals {
  const shift = high.length - outside;
  const middle = Math.ceil(outside / 2) - 1;
  let best = 0;
  for (let i = 1; i < outside; i++) if (high[i + shift] - low[i] < high[best + shift] - low[best]) best = i;
  return {
    symmetric: { low: low[middle], high: high[middle + shift] },
    shortest: { low: low[best], high: high[best + shift] },
  };
}

function fromGuessedTails(values: Float64Array, outside: number): EmpiricalIntervals | undefined {
  const stride = Math.floor(values.length / SAMPLE);
  const fraction = outside / values.length;
  if (stride < 4 || fraction > 0.2) return undefined;
  const sample = new Float64Array(SAMPLE);
  for (let i = 0; i < SAMPLE; i++) sample[i] = values[i * stride];
  sample.sort();
  const rank = Math.ceil(SAMPLE * fraction + MARGIN * Math.sqrt(SAMPLE * fraction) + MARGIN);
  const room = 2 * outside + SAMPLE;
  return withScratch(2 * room, (memory) => {
    const low = collected(values, -1, sample[rank], memory.subarray(0, room));
    const high = collected(values, 1, sample[SAMPLE - 1 - rank], memory.subarray(room));
    if (low.length < outside || high.length < outside) return undefined;
    return fromTails(low.sort(), high.sort(), outside);
  });
}

/** All values at or beyond a threshold (side −1 below, 1 above), in `room`; none where they do not fit. */
function collected(values: Float64Array, side: -1 | 1, threshold: number, room: Float64Array): Float64Array {
  const limit = side * threshold;
  const last = room.length - 1;
  let n = 0;
  for (let i = 0; i < values.length; i++) {
    // Written first and kept only if beyond: no branch for the processor to guess wrong.
    room[n] = values[i];
    n += side * values[i] >= limit ? 1 : 0;
    if (n > last) return room.subarray(0, 0);
  }
  return room.subarray(0, n);
}

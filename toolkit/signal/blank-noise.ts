import { whiteNoise } from "./noise.js";

/** Records without peaks from which the scatter of any linear measure of the signal can be read. */
export interface BlankNoise {
  /**
   * Standard deviation that Σ hᵢ yᵢ shows on the blank records, h being the weights of an area or a fit:
   * u² = h Γ h′ with the blank's own autocovariance, taken directly from slices of the blanks.
   *
   * Slices whose window lies within `reach` samples of `near` are used, all of them where those are fewer than 24.
   * Only under the window itself a slice must be free of peaks.
   *
   * @param window first and last weight of the area's own window; the weights outside are the baseline's
   */
  scatterOf(weights: Float64Array, window: readonly [number, number], near: number, reach: number): number;
  readonly records: number;
}

const FEWEST_SLICES = 24;

/**
 * Collects blank records and the stretches in them that may be used.
 *
 * @param records all of one length; programme and level taken off as far as the weights do not ignore them
 * @param usable 1 where a sample may be used
 * @param shrinkage variance lost because the mean of the same blanks was subtracted: 1 − 1/n, else 1
 * @source h Γ h′ by blank slices (derived)
 */
export function blankNoise(
  records: readonly Float64Array[],
  usable: readonly Uint8Array[],
  shrinkage = 1,
): BlankNoise {
  const slices = (
    weights: Float64Array,
    [a, b]: readonly [number, number],
    from: number,
    to: number,
    clean: boolean,
  ) => {
    const length = weights.length;
    const stride = Math.max(1, (b - a) >> 1);
    let squares = 0;
    let count = 0;
    for (let r = 0; r < records.length; r++) {
      const y = records[r];
      const end = Math.min(to, y.length - length);
      const starts: number[] = [];
      for (let start = Math.max(from, 0); start <= end; start += stride)
        if (!clean || allUsable(usable[r], start + a, start + b)) starts.push(start);
      squares += squaresAt(weights, y, starts);
      count += starts.length;
    }
    return { squares, count };
  };
  return {
    records: records.length,
    scatterOf(weights, window, near, reach) {
      const start = near - ((window[0] + window[1]) >> 1);
      let found = slices(weights, window, start - reach, start + reach, true);
      if (found.count < FEWEST_SLICES) found = slices(weights, window, 0, Number.POSITIVE_INFINITY, true);
      if (found.count === 0) found = slices(weights, window, 0, Number.POSITIVE_INFINITY, false);
      // A record too short for a single slice: white noise is the least there is, never none.
      if (found.count === 0) return whiteNoise(records[0]) * Math.hypot(...weights);
      return Math.sqrt(found.squares / found.count / shrinkage);
    },
  };
}

/** Sum of the squares of Σ hᵢ yᵢ over slices of a record, four at a time: their sums need not wait for one another. */
function squaresAt(h: Float64Array, y: Float64Array, starts: readonly number[]): number {
  let squares = 0;
  for (let k = 0; k < starts.length; k += 4) {
    const several = Math.min(4, starts.length - k);
    // Where fewer than four are left, the first stands in, and is not counted.
    const [p, q, r, s] = [0, 1, 2, 3].map((j) => starts[j < several ? k + j : k]);
    let [a, b, c, d] = [0, 0, 0, 0];
    for (let i = 0; i < h.length; i++) {
      const weight = h[i];
      a += weight * y[p + i];
      b += weight * y[q + i];
      c += weight * y[r + i];
      d += weight * y[s + i];
    }
    const sums = [a, b, c, d];
    for (let j = 0; j < several; j++) squares += sums[j] * sums[j];
  }
  return squares;
}

function allUsable(usable: Uint8Array, from: number, to: number): boolean {
  for (let i = from; i <= to; i++) if (!usable[i]) return false;
  return true;
}

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
      for (let start = Math.max(from, 0); start <= end; start += stride) {
        if (clean && !allUsable(usable[r], start + a, start + b)) continue;
        let sum = 0;
        for (let i = 0; i < length; i++) sum += weights[i] * y[start + i];
        squares += sum * sum;
        count++;
      }
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

function allUsable(usable: Uint8Array, from: number, to: number): boolean {
  for (let i = from; i <= to; i++) if (!usable[i]) return false;
  return true;
}

/** Records without peaks from which the scatter of any linear measure of the signal can be read. */
export interface BlankNoise {
  /**
   * Standard deviation that Σ hᵢ yᵢ shows on the blank records, h being the weights of an area or a fit:
   * u² = h Γ h′ with the blank's own autocovariance, taken directly from slices of the blanks.
   *
   * Slices whose middle lies within `reach` samples of `near` are used, all of them where those are fewer than 24.
   */
  scatterOf(weights: Float64Array, near: number, reach: number): number;
  readonly records: number;
}

/** Samples whose weight is below this share of the largest do not spoil a slice when a peak stands on them. */
const MATTERS = 0.1;
const FEWEST_SLICES = 24;

/**
 * Collects blank records and the stretches in them that may be used.
 *
 * @param records all of one length; programme and level taken off as far as the weights do not ignore them
 * @param usable 1 where a sample may be used
 * @param shrinkage variance lost because the mean of the same blanks was subtracted: 1 − 1/n, else 1
 * @source h Γ h′ by blank slices (derived)
 */
export function blankNoise(records: readonly Float64Array[], usable: readonly Uint8Array[], shrinkage = 1): BlankNoise {
  const slices = (weights: Float64Array, from: number, to: number, stride: number) => {
    const length = weights.length;
    const [a, b] = coreOf(weights);
    let squares = 0;
    let count = 0;
    for (let r = 0; r < records.length; r++) {
      const y = records[r];
      const end = Math.min(to, y.length - length);
      for (let start = Math.max(from, 0); start <= end; start += stride) {
        if (!allUsable(usable[r], start + a, start + b)) continue;
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
    scatterOf(weights, near, reach) {
      const [a, b] = coreOf(weights);
      const start = near - ((a + b) >> 1);
      const stride = Math.max(1, (b - a) >> 1);
      let found = slices(weights, start - reach, start + reach, stride);
      if (found.count < FEWEST_SLICES) found = slices(weights, 0, Number.POSITIVE_INFINITY, stride);
      if (found.count === 0) return Number.NaN;
      return Math.sqrt(found.squares / found.count / shrinkage);
    },
  };
}

/** First and last sample whose weight matters. */
function coreOf(weights: Float64Array): readonly [number, number] {
  let largest = 0;
  for (const w of weights) largest = Math.max(largest, Math.abs(w));
  let a = 0;
  while (a < weights.length - 1 && Math.abs(weights[a]) < MATTERS * largest) a++;
  let b = weights.length - 1;
  while (b > a && Math.abs(weights[b]) < MATTERS * largest) b--;
  return [a, b];
}

function allUsable(usable: Uint8Array, from: number, to: number): boolean {
  for (let i = from; i <= to; i++) if (!usable[i]) return false;
  return true;
}

/** Beyond this stiffness double precision loses the Whittaker solution: the record is averaged in blocks first. */
const LARGEST_LAMBDA = 1e12;
/** Samples a block-averaged record keeps per λ^(1/4): ten per peak s.d. when λ^(1/4) is two of them. */
const SAMPLES_KEPT = 20;
/** A short record keeps this many blocks; beyond λ^(1/4) of twice its length its baseline is a straight line anyway. */
const FEWEST_BLOCKS = 10;

/** At λ of this many n⁴ the slowest wave of a record of n points is left by less than 10⁻⁶: a straight line. */
const STRAIGHT = 1e4;

/** The stiffness itself, or the least one that gives a record this short its straight line: rounding grows with λ. */
export function boundedStiffness(lambda: number, length: number): number {
  return Math.min(lambda, LARGEST_LAMBDA, STRAIGHT * length ** 4);
}

/** A record in blocks of (nearly) equal length that together hold every sample. */
export interface Blocks {
  readonly count: number;
  /** Stiffness that draws the same curve through the means: λ over the fourth power of the block length. */
  readonly lambda: number;
  readonly means: Float64Array;
}

/**
 * The means a stiff baseline is drawn through, or undefined where λ is small enough to go without.
 *
 * Loss-free in practice: a baseline of stiffness λ holds no wave shorter than λ^(1/4), and twenty blocks cover that.
 */
export function blocksFor(y: Float64Array, lambda: number): Blocks | undefined {
  const n = y.length;
  if (!(lambda > LARGEST_LAMBDA) || n < 2 * FEWEST_BLOCKS) return undefined;
  const block = Math.max(2, Math.floor(lambda ** 0.25 / SAMPLES_KEPT));
  const count = Math.max(Math.floor(n / block), FEWEST_BLOCKS);
  return { count, lambda: lambda * (count / n) ** 4, means: blockMeans(y, count) };
}

/** Means over `count` equal parts; a part's edges are rounded to whole samples. */
export function blockMeans(y: Float64Array, count: number): Float64Array {
  const n = y.length;
  const out = new Float64Array(count);
  for (let b = 0; b < count; b++) {
    const [from, to] = [Math.round((b * n) / count), Math.round(((b + 1) * n) / count)];
    let sum = 0;
    for (let i = from; i < to; i++) sum += y[i];
    out[b] = sum / (to - from);
  }
  return out;
}

/** A curve known at the middles of the blocks, on all samples: linear between, the end pieces continued. */
export function expandBlocks(from: Float64Array, length: number): Float64Array {
  const out = new Float64Array(length);
  const scale = from.length / length;
  for (let i = 0; i < length; i++) {
    const at = (i + 0.5) * scale - 0.5;
    const b = Math.min(Math.max(Math.floor(at), 0), from.length - 2);
    out[i] = from[b] + (at - b) * (from[b + 1] - from[b]);
  }
  return out;
}

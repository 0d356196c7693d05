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
  const count = blockCount(y.length, lambda);
  if (count === undefined) return undefined;
  return { count, lambda: lambda * (count / y.length) ** 4, means: blockMeans(y, count) };
}

/** Number of blocks a record of `length` samples is averaged in; undefined where λ is small enough to go without. */
export function blockCount(length: number, lambda: number): number | undefined {
  if (!(lambda > LARGEST_LAMBDA) || length < 2 * FEWEST_BLOCKS) return undefined;
  const block = Math.max(2, Math.floor(lambda ** 0.25 / SAMPLES_KEPT));
  return Math.max(Math.floor(length / block), FEWEST_BLOCKS);
}

/** The block that holds a sample. */
export function blockOf(sample: number, count: number, length: number): number {
  return Math.min(Math.max(Math.floor(((sample + 0.5) * count) / length), 0), count - 1);
}

/** First sample of a block; of the block behind the last one, the length of the record. */
function startOf(block: number, count: number, length: number): number {
  return Math.round((block * length) / count);
}

function blockMeans(y: Float64Array, count: number): Float64Array {
  const out = new Float64Array(count);
  for (let b = 0; b < count; b++) {
    const [from, to] = [startOf(b, count, y.length), startOf(b + 1, count, y.length)];
    let sum = 0;
    for (let i = from; i < to; i++) sum += y[i];
    out[b] = sum / (to - from);
  }
  return out;
}

/** The least weight in every block: one sample that must not count takes its block along. */
export function lowestInBlocks(weights: Float64Array, count: number): Float64Array {
  const n = weights.length;
  return Float64Array.from({ length: count }, (_, b) =>
    weights.subarray(startOf(b, count, n), startOf(b + 1, count, n)).reduce((a, w) => Math.min(a, w)),
  );
}

/** Where a sample lies between the middles of two blocks: the left one, and the share of the way to the right one. */
function placeOf(sample: number, count: number, length: number): readonly [block: number, part: number] {
  const at = ((sample + 0.5) * count) / length - 0.5;
  const block = Math.min(Math.max(Math.floor(at), 0), count - 2);
  return [block, at - block];
}

/** A curve known at the middles of the blocks, on all samples: linear between, the end pieces continued. */
export function expandBlocks(from: Float64Array, length: number): Float64Array {
  const out = new Float64Array(length);
  for (let i = 0; i < length; i++) {
    const [b, part] = placeOf(i, from.length, length);
    out[i] = from[b] + part * (from[b + 1] - from[b]);
  }
  return out;
}

/** The transpose of `expandBlocks`: what shares of the samples are as shares of the block means. */
export function gatherBlocks(shares: Float64Array, count: number): Float64Array {
  const out = new Float64Array(count);
  for (let i = 0; i < shares.length; i++) {
    const [b, part] = placeOf(i, count, shares.length);
    out[b] += (1 - part) * shares[i];
    out[b + 1] += part * shares[i];
  }
  return out;
}

/** The transpose of averaging: every sample's part in shares of the block means. */
export function spreadBlocks(shares: Float64Array, length: number): Float64Array {
  const out = new Float64Array(length);
  for (let b = 0; b < shares.length; b++) {
    const [from, to] = [startOf(b, shares.length, length), startOf(b + 1, shares.length, length)];
    out.fill(shares[b] / (to - from), from, to);
  }
  return out;
}

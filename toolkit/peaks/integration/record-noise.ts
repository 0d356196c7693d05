import type { BlankNoise } from "../../signal/blank-noise.js";
import { gaussianSmooth } from "../../signal/smooth.js";

/** Noise of areas, read from stretches without peaks. */
export interface RecordNoise extends BlankNoise {
  /** How many independent looks of one area's length the stretches give. */
  readonly dof: number;
}

export interface RecordNoiseOptions {
  /** Longest distance at which two samples are compared, samples. */
  readonly longestLag: number;
  /** Length over which an area is typically taken, samples. */
  readonly window: number;
  /**
   * A blank of the same noise that was smoothed and taken off: its variance as a share of the record's (1/n for the mean
   * of n blanks) and the s.d. of the smoothing, samples.
   */
  readonly smoothed?: { readonly share: number; readonly width: number };
}

/** Up to this lag every one is looked at by itself, beyond it in bins that grow in proportion. */
const EVERY_LAG_TO = 24;
const LAG_GROWTH = 1.12;
/** First samples of pairs looked at per bin, so that a record of any length costs about the same. */
const PAIRS = 1_000_000;
/** Longer responses are averaged in blocks before their lags are counted. */
const LONGEST_RESPONSE = 1500;
const FEWEST_DOF = 3;

/**
 * Noise of any linear measure of a record that is blind to its level, from pairs of samples without peaks:
 *
 *     u² = h Γ h′ = −½ Σᵢ Σⱼ hᵢ hⱼ D(|i − j|),   D(k) = mean (yᵢ − yᵢ₊ₖ)²
 *
 * which is h Γ h′ with the autocovariance Γ(k) = Γ(0) − D(k)/2, written so that neither level nor gaps matter: pairs
 * may lie in different stretches of a record full of peaks, where no slice of an area's length would be free.
 * Lengths in samples, u in signal × samples.
 *
 * @param records level and programme taken off, not the noise
 * @param free 1 where a sample may be used
 * @source structure function of a process with stationary increments (derived)
 */
export function recordNoise(
  records: readonly Float64Array[],
  free: readonly Uint8Array[],
  { longestLag, window, smoothed }: RecordNoiseOptions,
): RecordNoise {
  const bins = chosenLags(longestLag);
  const lags = bins.middle;
  const running = records.map((y, r) => runningSums(y, free[r]));
  const square = meanSquare(running);
  const differences = bins.first.map(
    (from, b) => square * relativeDifference(records, free, running, from, bins.last[b]),
  );
  fillGaps(differences);
  const fast = differences[0];
  const between = (lag: number): number => (lag === 0 ? 0 : interpolated(lags, differences, lag));
  let samples = 0;
  for (const mask of free) for (const each of mask) samples += each;
  return {
    records: records.length,
    dof: Math.max(FEWEST_DOF, Math.floor((2 * samples) / window)),
    scatterOf(weights) {
      const own = quadraticForm(inBlocks(weights, 1), between, fast);
      if (smoothed === undefined) return Math.sqrt(own);
      const { share, width } = smoothed;
      return Math.sqrt(own + share * quadraticForm(smoothedWeights(weights, width), between, fast));
    },
  };
}

/** Lags looked at together: one each up to EVERY_LAG_TO, beyond it bins without gaps, known by their middle. */
interface LagBins {
  readonly first: readonly number[];
  readonly last: readonly number[];
  readonly middle: readonly number[];
}

function chosenLags(longest: number): LagBins {
  const [first, last, middle]: [number[], number[], number[]] = [[], [], []];
  for (let lag = 1; lag <= longest; ) {
    const end = lag <= EVERY_LAG_TO ? lag : Math.min(Math.ceil(lag * LAG_GROWTH), longest);
    first.push(lag);
    last.push(end);
    middle.push(0.5 * (lag + end));
    lag = end + 1;
  }
  return { first, last, middle };
}

/** Running sums up to each sample, of what is free: how many, Σy, Σy². */
interface RunningSums {
  readonly count: Float64Array;
  readonly sum: Float64Array;
  readonly squares: Float64Array;
}

function runningSums(y: Float64Array, mask: Uint8Array): RunningSums {
  const n = y.length;
  const [count, sum, squares] = [0, 1, 2].map(() => new Float64Array(n + 1));
  for (let i = 0; i < n; i++) {
    const value = mask[i] ? y[i] : 0;
    count[i + 1] = count[i] + mask[i];
    sum[i + 1] = sum[i] + value;
    squares[i + 1] = squares[i] + value * value;
  }
  return { count, sum, squares };
}

function meanSquare(running: readonly RunningSums[]): number {
  let [samples, squares] = [0, 0];
  for (const each of running) {
    samples += each.count[each.count.length - 1];
    squares += each.squares[each.squares.length - 1];
  }
  return samples > 0 ? squares / samples : 0;
}

/**
 * Mean over all pairs whose lag lies in a bin, NaN where there is none: Σⱼ(yᵢ − yⱼ)² = n·yᵢ² − 2yᵢΣyⱼ + Σyⱼ² costs the
 * same for every width of the bin. Single lags picked out of it would leave most of what the record tells unused.
 *
 * Relative to the mean square of the readings that took part: each bin sees other ones of a record with gaps, and that
 * they happen to scatter more or less would pass for memory of the noise.
 */
function relativeDifference(
  records: readonly Float64Array[],
  free: readonly Uint8Array[],
  running: readonly RunningSums[],
  from: number,
  to: number,
): number {
  let total = 0;
  let own = 0;
  for (let r = 0; r < records.length; r++) {
    const [y, mask] = [records[r], free[r]];
    const { count, sum, squares } = running[r];
    const step = Math.max(1, Math.floor(((y.length - from) * records.length) / PAIRS));
    for (let i = 0; i + from < y.length; i += step) {
      if (!mask[i]) continue;
      const a = i + from;
      const b = Math.min(i + to + 1, y.length);
      const n = count[b] - count[a];
      const both = n * y[i] * y[i] + squares[b] - squares[a];
      total += both - 2 * y[i] * (sum[b] - sum[a]);
      own += both;
    }
  }
  return own > 0 ? Math.max((2 * total) / own, 0) : Number.NaN;
}

/** Lags without a pair take over the last that had one. */
function fillGaps(differences: number[]): void {
  for (let k = 0; k < differences.length; k++)
    if (!Number.isFinite(differences[k])) differences[k] = k > 0 ? differences[k - 1] : 0;
}

function interpolated(lags: readonly number[], values: readonly number[], lag: number): number {
  if (lag <= EVERY_LAG_TO) return values[Math.min(lag, lags.length) - 1];
  let low = EVERY_LAG_TO - 1;
  let high = lags.length - 1;
  if (low >= high || lag >= lags[high]) return values[values.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (lags[middle] <= lag) low = middle;
    else high = middle;
  }
  const part = (lag - lags[low]) / (lags[high] - lags[low]);
  return values[low] + part * (values[high] - values[low]);
}

/** Weights added up in blocks, and the sum of their squares before that. */
interface BlockedWeights {
  readonly sums: Float64Array;
  readonly block: number;
  readonly squares: number;
}

/** In blocks of at least so many samples, more where the weights are many. */
function inBlocks(weights: Float64Array, least: number): BlockedWeights {
  const block = Math.max(least, Math.ceil(weights.length / LONGEST_RESPONSE));
  let squares = 0;
  for (const h of weights) squares += h * h;
  if (block === 1) return { sums: weights, block, squares };
  const sums = new Float64Array(Math.ceil(weights.length / block));
  for (let i = 0; i < weights.length; i++) sums[Math.floor(i / block)] += weights[i];
  return { sums, block, squares };
}

/** Weights of a blank that is smoothed before they meet it: they hold nothing finer than a quarter of the width. */
function smoothedWeights(weights: Float64Array, width: number): BlockedWeights {
  const { sums: rough, block } = inBlocks(weights, Math.max(1, Math.floor(width / 4)));
  const sums = gaussianSmooth(rough, width / block);
  return { sums, block, squares: sums.reduce((sum, h) => sum + h * h, 0) / block };
}

/** −½ ΣΣ hᵢhⱼD, at least half of what white noise alone makes of h: a structure function is only an estimate. */
function quadraticForm(
  { sums: h, block, squares }: BlockedWeights,
  between: (lag: number) => number,
  fast: number,
): number {
  const white = 0.5 * fast * squares;
  // In blocks the jump of D at lag 0 would be lost: the white part is counted apart then.
  const apart = block === 1 ? 0 : fast;
  let sum = block === 1 ? 0 : white;
  for (let lag = 1; lag < h.length; lag++) {
    let together = 0;
    for (let i = 0; i + lag < h.length; i++) together += h[i] * h[i + lag];
    sum -= together * (between(lag * block) - apart);
  }
  return Math.max(sum, 0.5 * white, 0);
}

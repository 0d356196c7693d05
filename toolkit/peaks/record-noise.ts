import type { BlankNoise } from "../signal/blank-noise.js";

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
  /** Part of the slow noise added by a smoothed blank that was taken off: 1/n for the mean of n blanks. @default 0 */
  readonly slowShare?: number;
}

/** Up to this lag every one is looked at, beyond it steps grow in proportion. */
const EVERY_LAG_TO = 24;
const LAG_GROWTH = 1.12;
/** Pairs looked at per lag, so that a record of any length costs the same. */
const PAIRS = 20_000;
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
  { longestLag, window, slowShare = 0 }: RecordNoiseOptions,
): RecordNoise {
  const lags = chosenLags(longestLag);
  const differences = lags.map((lag) => meanSquareDifference(records, free, lag));
  fillGaps(differences);
  const fast = differences[0];
  const between = (lag: number): number => {
    if (lag === 0) return 0;
    const raw = interpolated(lags, differences, lag);
    return raw + slowShare * Math.max(raw - fast, 0);
  };
  let samples = 0;
  for (const mask of free) for (const each of mask) samples += each;
  return {
    records: records.length,
    dof: Math.max(FEWEST_DOF, Math.floor((2 * samples) / window)),
    scatterOf: (weights) => Math.sqrt(quadraticForm(weights, between, fast)),
  };
}

function chosenLags(longest: number): readonly number[] {
  const lags: number[] = [];
  for (let lag = 1; lag <= longest; lag = lag < EVERY_LAG_TO ? lag + 1 : Math.ceil(lag * LAG_GROWTH))
    lags.push(lag);
  return lags;
}

/** NaN where no two free samples lie so far apart. */
function meanSquareDifference(
  records: readonly Float64Array[],
  free: readonly Uint8Array[],
  lag: number,
): number {
  let sum = 0;
  let count = 0;
  for (let r = 0; r < records.length; r++) {
    const y = records[r];
    const mask = free[r];
    const step = Math.max(1, Math.floor(((y.length - lag) * records.length) / PAIRS));
    for (let i = 0; i + lag < y.length; i += step) {
      if (!mask[i] || !mask[i + lag]) continue;
      sum += (y[i] - y[i + lag]) ** 2;
      count++;
    }
  }
  return count > 0 ? sum / count : Number.NaN;
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

/** −½ ΣΣ hᵢhⱼD, at least what white noise alone makes of h: a structure function is only an estimate. */
function quadraticForm(weights: Float64Array, between: (lag: number) => number, fast: number): number {
  let squares = 0;
  for (const h of weights) squares += h * h;
  const white = 0.5 * fast * squares;
  const block = Math.ceil(weights.length / LONGEST_RESPONSE);
  const h = block === 1 ? weights : sumsOfBlocks(weights, block);
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

function sumsOfBlocks(weights: Float64Array, block: number): Float64Array {
  const out = new Float64Array(Math.ceil(weights.length / block));
  for (let i = 0; i < weights.length; i++) out[Math.floor(i / block)] += weights[i];
  return out;
}

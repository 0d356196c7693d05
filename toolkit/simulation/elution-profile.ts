import { erfc } from "../numeric/special-functions.js";
import { applyLag, exponentialLag } from "./exponential-lag.js";

/** The band of one ion as it passes the cell. Times in s. */
export interface Band {
  /** Retention time at trace load, s. */
  readonly center: number;
  /** Standard deviation of the undistorted band, s. */
  readonly sigma: number;
  /** Time constant of the exponential tail, s. */
  readonly tau: number;
  /** Overload: 0 gives a Gaussian, larger values an early, tailing front; proportional to the amount. */
  readonly overload: number;
}

export interface TimeGrid {
  /** s */
  readonly step: number;
  readonly length: number;
}

/** The slow part of every tail: share of the area and time constant in σ. Common practice, no source. */
const SLOW_TAILS: readonly (readonly [share: number, constant: number])[] = [
  [0.007, 2.5],
  [0.004, 6],
  [0.002, 15],
];
/** The band is worked out on a grid this much finer than the record. */
const FINER = 4;
/** Where a band begins and ends, in σ: 1e-15 of its height. */
const REACH = 8.5;

/**
 * The profile of a band at the cell, of area 1 (1/s), on the record's grid: an overloaded Gaussian (Haarhoff–Van der
 * Linde) convolved with an exponential on a four times finer grid, and 1.3 % of it dragged out in three slow tails.
 *
 * y = (1/q)·φ(u)/(σ·(1/(e^q − 1) + Φ(u))), u = (t − center)/σ, q the overload.
 *
 * @source P. C. Haarhoff, H. J. Van der Linde, Anal. Chem. 38 (1966) 573 [from memory]
 */
export function elutionProfile(band: Band, grid: TimeGrid): Float64Array {
  const fast = fastProfile(band, grid);
  const out = fast.map((y) => (1 - slowShare) * y);
  for (const [share, constant] of SLOW_TAILS)
    addTail(out, fast, share, exponentialLag(constant * band.sigma, grid.step));
  return out;
}

const slowShare = SLOW_TAILS.reduce((sum, [share]) => sum + share, 0);

/** Overloaded Gaussian with its exponential tail, 0 where it has not begun or has died away. */
function fastProfile(band: Band, { step, length }: TimeGrid): Float64Array {
  const { center, sigma, tau, overload } = band;
  const fine = step / FINER;
  const early = (REACH + 1.2 * Math.abs(overload)) * sigma;
  const first = Math.max(0, Math.floor((center - early) / step));
  const last = Math.min(length, Math.ceil((center + early + 40 * tau) / step) + 1);
  const out = new Float64Array(length);
  if (last <= first) return out;
  const bare = new Float64Array((last - first) * FINER);
  for (let i = 0; i < bare.length; i++) bare[i] = overloadedGaussian(first * step + i * fine, band);
  const lagged = applyLag(exponentialLag(tau, fine), bare);
  for (let i = first; i < last; i++) out[i] = lagged[(i - first) * FINER];
  return out;
}

function overloadedGaussian(time: number, { center, sigma, overload }: Band): number {
  const u = (time - center) / sigma;
  const gauss = Math.exp((-u * u) / 2) / (sigma * Math.sqrt(2 * Math.PI));
  if (Math.abs(overload) < 1e-4) return gauss;
  return gauss / (overload * (1 / Math.expm1(overload) + 0.5 * erfc(-u / Math.SQRT2)));
}

/** Adds a lagged copy of `source` to `out`, in one pass. */
function addTail(
  out: Float64Array,
  source: Float64Array,
  share: number,
  { decay, ahead, here, behind }: ReturnType<typeof exponentialLag>,
): void {
  let y = 0;
  for (let i = 0; i < out.length; i++) {
    const next = i + 1 < source.length ? source[i + 1] : 0;
    const before = i > 0 ? source[i - 1] : 0;
    y = decay * y + ahead * next + here * source[i] + behind * before;
    out[i] += share * y;
  }
}

import { fastExp } from "../../numeric/fast-exp.js";
import { emg } from "./emg.js";

/** Gaussians are worked out afresh after so many points: their rounding stays below 1e-13. */
const RESTART = 32;
/** From here on, in σ behind μ, the Gaussian adds nothing to the tail. */
const BARE_TAIL = 8.7;
/** σ/τ from which the derivatives would feel the rounding that the running value gathers. */
const LARGEST_RATIO = 8;
/** Number of even powers of v kept, and the largest v·w at 5σ before μ, for which they do: 0.9¹⁶/17! = 5e-16. */
const TERMS = 8;
const LARGEST_STRETCH = 0.9;
/** Moments are run down to 0 from this one, far enough above TERMS for what it is taken for not to matter. */
const HIGHEST_MOMENT = 12;

/** Whether `writeRunning` is good for this peak: its exponential not too short beside σ and the interval. */
export function mayRun(interval: number, sigma: number, tau: number): boolean {
  const ratio = sigma / tau;
  return ratio < LARGEST_RATIO && ((ratio + 5) * interval) / sigma < 2 * LARGEST_STRETCH;
}

/** Coefficients of v⁰, v², v⁴ … in `writeRunning`, for the peak that is being written. */
const weights = new Float64Array(TERMS);

/** The factor times mⱼ/j!, mⱼ = ∫ xʲ·exp(−x²/2) dx from −w to w, by mⱼ = (j − 1)·mⱼ₋₂ − 2wʲ⁻¹·exp(−w²/2) downwards. */
function prepareWeights(w: number, factor: number): void {
  const edge = 2 * fastExp(-0.5 * w * w);
  let moment = 0;
  let power = w ** (2 * HIGHEST_MOMENT - 1);
  for (let n = HIGHEST_MOMENT; n > 0; n--) {
    moment = (moment + power * edge) / (2 * n - 1);
    power /= w * w;
    if (n <= TERMS) weights[n - 1] = moment;
  }
  let over = factor;
  for (let n = 0; n < TERMS; n++) {
    weights[n] *= over;
    over /= (2 * n + 1) * (2 * n + 2);
  }
}

/**
 * Exponentially modified Gaussians on even times, each point from the one before it, in the direction of the tail:
 *
 *     f(t + h) = e^(−h/τ)·f(t) + ∫₀ʰ e^(−(h−s)/τ)·φ(t + s) ds/τ
 *
 * The integral is φ at the middle of the interval times (σ/τ)·e^(−h/2τ)·∫ exp(vx − x²/2) dx from −w to w, w = h/2σ and
 * v = σ/τ − u in the middle: a short series in v² with the same coefficients for all points, at half the time of a closed
 * form. What was fades, so errors do not grow: good to 2e-13 of the height where `mayRun` says so.
 *
 * @param first index of the first point in the direction of the tail
 * @param side 1, or −1 for a tail before the peak
 * @source differential equation f + τf′ = φ solved over an interval (derived)
 */
export function writeRunning(
  time: Float64Array,
  interval: number,
  mu: number,
  sigma: number,
  tau: number,
  side: number,
  columns: readonly Float64Array[],
  first: number,
  count: number,
): void {
  const f = columns[0];
  const byMu = columns[1];
  const bySigma = columns[2];
  const byTau = columns[3];
  const h = interval / sigma;
  const ratio = sigma / tau;
  const ratio2 = ratio * ratio;
  const byMuFactor = side / tau;
  const density = 1 / (sigma * Math.sqrt(2 * Math.PI));
  const fade = Math.exp(-h * ratio);
  prepareWeights(0.5 * h, ratio * density * fastExp(-0.5 * h * ratio));
  const [c0, c1, c2, c3, c4, c5, c6, c7] = weights;
  const quarter = fastExp(-0.125 * h * h);
  const halfStep = fastExp(-0.5 * h * h);
  const stepSquared = fastExp(-h * h);
  const begin = (side * (time[first] - mu)) / sigma;
  let value = emg(time[first], mu, sigma, side * tau);
  for (let start = 0; start < count; start += RESTART) {
    const end = Math.min(start + RESTART, count);
    let u = begin + start * h;
    if (u > BARE_TAIL) {
      for (let j = start; j < end; j++) {
        const i = first + side * j;
        f[i] = value;
        byMu[i] = byMuFactor * value;
        bySigma[i] = ratio2 * value;
        byTau[i] = value * (ratio * u - 1 - ratio2);
        value *= fade;
        u += h;
      }
      continue;
    }
    let gauss = fastExp(-0.5 * u * u);
    let growth = fastExp(-h * (u + 0.5 * h));
    let half = fastExp(-0.5 * h * u) * quarter;
    for (let j = start; j < end; j++) {
      const i = first + side * j;
      const phi = gauss * density;
      const difference = ratio2 * (phi - value);
      f[i] = value;
      byMu[i] = byMuFactor * (value - phi);
      bySigma[i] = -ratio * u * phi - difference;
      byTau[i] = difference + value * (ratio * u - 1);
      const v = ratio - u - 0.5 * h;
      const v2 = v * v;
      const v4 = v2 * v2;
      const series = c0 + c1 * v2 + v4 * (c2 + c3 * v2 + v4 * (c4 + c5 * v2 + v4 * (c6 + c7 * v2)));
      value = fade * value + gauss * half * series;
      gauss *= growth;
      growth *= stepSquared;
      half *= halfStep;
      u += h;
    }
  }
}

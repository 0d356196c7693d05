import { fastExp } from "../../numeric/fast-exp.js";
import { erfcx } from "../../numeric/special-functions.js";

const SQRT_HALF = Math.SQRT1_2;
const INVERSE_SQRT_2PI = 1 / Math.sqrt(2 * Math.PI);
/** Below this τ/σ the closed form is replaced by its series in τ; both agree there to 1e-12 of the height. */
const SERIES_BELOW = 0.001;
/** The derivative by τ cancels as (σ/τ)³ and changes to its series a little earlier. */
const TAU_SERIES_BELOW = 0.002;

/**
 * Writes the exponentially modified Gaussian of unit area and its derivatives at one time into `out`:
 * [f, ∂f/∂μ, ∂f/∂σ, ∂f/∂τ].
 *
 *     f = exp(−u²/2)·erfcx(z)/(2τ),  u = (t − μ)/σ,  z = (σ/τ − u)/√2
 *
 * and f + τ f′ = φ (the Gaussian), from which all derivatives follow. τ < 0 mirrors the tail to the front.
 * μ, σ, τ, t in one unit; f in its inverse. Stable from τ → 0 to τ ≫ σ.
 *
 * @source differential equation of the exponentially modified Gaussian (derived); switch points from a
 *   comparison with 60-digit arithmetic
 */
export function emgWithGradient(t: number, mu: number, sigma: number, tau: number, out: Float64Array): void {
  if (tau < 0) {
    emgWithGradient(2 * mu - t, mu, sigma, -tau, out);
    out[1] = -out[1];
    out[3] = -out[3];
    return;
  }
  const u = (t - mu) / sigma;
  const phi = (fastExp(-0.5 * u * u) * INVERSE_SQRT_2PI) / sigma;
  const d1 = (-u * phi) / sigma;
  const d2 = ((u * u - 1) * phi) / (sigma * sigma);
  const d3 = ((3 * u - u * u * u) * phi) / (sigma * sigma * sigma);
  if (tau < SERIES_BELOW * sigma) {
    const d4 = ((u ** 4 - 6 * u * u + 3) * phi) / sigma ** 4;
    out[0] = phi - tau * d1 + tau * tau * d2 - tau ** 3 * d3;
    out[1] = -(d1 - tau * d2 + tau * tau * d3);
    out[2] = sigma * (d2 - tau * d3 + tau * tau * d4);
    out[3] = -d1 + 2 * tau * d2 - 3 * tau * tau * d3;
    return;
  }
  const f = emg(t, mu, sigma, tau);
  const slope = (phi - f) / tau;
  out[0] = f;
  out[1] = -slope;
  out[2] = (sigma * (d1 - slope)) / tau;
  out[3] =
    tau < TAU_SERIES_BELOW * sigma
      ? -d1 + 2 * tau * d2 - 3 * tau * tau * d3
      : -f / tau +
        f * ((t - mu) / (tau * tau) - (sigma * sigma) / (tau * tau * tau)) +
        (phi * sigma * sigma) / (tau * tau * tau);
}

/**
 * Exponentially modified Gaussian of unit area: a Gaussian (μ, σ) convolved with an exponential (τ).
 *
 * All arguments in one unit of time; the result in its inverse. τ < 0 gives the tail at the front.
 */
export function emg(t: number, mu: number, sigma: number, tau: number): number {
  if (tau < 0) return emg(2 * mu - t, mu, sigma, -tau);
  const u = (t - mu) / sigma;
  const gauss = fastExp(-0.5 * u * u);
  if (tau < SERIES_BELOW * sigma) {
    const r = tau / sigma;
    const series = 1 + r * u + r * r * (u * u - 1) - r ** 3 * (3 * u - u ** 3);
    return (gauss * INVERSE_SQRT_2PI * series) / sigma;
  }
  const z = (sigma / tau - u) * SQRT_HALF;
  if (z >= -5) return (gauss * erfcx(z)) / (2 * tau);
  return (Math.exp((0.5 * sigma * sigma) / (tau * tau) - (t - mu) / tau) * (1 - 0.5 * complement(z))) / tau;
}

/** erfc(−z) for z < −5 as a small number: erfc(z) = 2 − erfc(−z). */
function complement(z: number): number {
  return Math.exp(-z * z) * erfcx(-z);
}

/** Time of the EMG's maximum minus μ, in units of σ, for τ/σ = ratio ≥ 0: where f = φ. */
export function emgApexShift(ratio: number): number {
  if (ratio < 0) return -emgApexShift(-ratio);
  if (ratio < 0.02) return ratio - ratio ** 3;
  const target = ratio * Math.sqrt(2 / Math.PI);
  let low = -40;
  let high = 1 / (target * Math.sqrt(Math.PI)) + 1;
  for (let i = 0; i < 80; i++) {
    const mid = 0.5 * (low + high);
    if (erfcx(mid) > target) low = mid;
    else high = mid;
  }
  return 1 / ratio - Math.SQRT2 * 0.5 * (low + high);
}

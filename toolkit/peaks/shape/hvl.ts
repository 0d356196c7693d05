import { fastExp } from "../../numeric/fast-exp.js";
import { normalCdf } from "../../numeric/special-functions.js";

const INVERSE_SQRT_2PI = 1 / Math.sqrt(2 * Math.PI);
/** Below this |q| the closed form cancels, and the series of q/(e^q − 1) is exact to rounding. */
const SERIES_BELOW = 0.1;

/**
 * Writes the peak of an overloaded column (Haarhoff and Van der Linde) of unit area and its derivatives at one time
 * into `out`: [y, ∂y/∂μ, ∂y/∂ln σ, ∂y/∂q].
 *
 *     y = φ/S,  S = q·(1/(e^q − 1) + Φ),  ∂y/∂μ = y(u/σ + q y),  ∂y/∂ln σ = y(u² − 1 + uσq y),  ∂y/∂q = −y S′/S
 *
 * φ, Φ the Gaussian and its integral at u = (t − μ)/σ. q > 0: apex early, tail behind; q < 0 mirrors; q = 0 is the
 * Gaussian. μ, σ, t in one unit; q without; |q| up to 700.
 *
 * @source P. C. Haarhoff, H. J. Van der Linde, Anal. Chem. 38 (1966) 573 (from memory); derivatives derived
 */
export function hvlWithGradient(t: number, mu: number, sigma: number, q: number, out: Float64Array): void {
  const side = q < 0 ? -1 : 1;
  const strength = side * q;
  const u = (side * (t - mu)) / sigma;
  const phi = (fastExp(-0.5 * u * u) * INVERSE_SQRT_2PI) / sigma;
  const share = normalCdf(u);
  const q2 = strength * strength;
  let [level, change] = [0, 0];
  if (strength < SERIES_BELOW) {
    level = 1 + strength * (share - 0.5) + q2 * (1 / 12 - q2 * (1 / 720 - q2 / 30240));
    change = share - 0.5 + strength * (1 / 6 - q2 * (1 / 180 - q2 / 5040));
  } else {
    const grown = Math.expm1(strength);
    level = strength * (1 / grown + share);
    change = 1 / grown + share - (strength * (1 + 1 / grown)) / grown;
  }
  const y = phi / level;
  out[0] = y;
  out[1] = side * y * (u / sigma + strength * y);
  out[2] = y * (u * u - 1 + u * sigma * strength * y);
  out[3] = (-side * y * change) / level;
}

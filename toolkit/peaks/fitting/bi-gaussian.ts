/** Two half Gaussians that share their apex; σ of each, in one unit. */
export interface BiGaussian {
  readonly left: number;
  readonly right: number;
}

/** Half width at half height of a Gaussian, in σ: √(2 ln 2). */
const HALF_HEIGHT = Math.sqrt(2 * Math.log(2));
/** A tail shorter than this share of σ does not move the fit it starts. */
const SHORTEST_TAIL = 0.1;

/** The bi-Gaussian with these half widths at half height. */
export function biGaussianOf({ left, right }: BiGaussian): BiGaussian {
  return { left: left / HALF_HEIGHT, right: right / HALF_HEIGHT };
}

/**
 * σ and τ of the exponentially modified Gaussian with the variance and the third central moment of a bi-Gaussian: where a
 * fit may start. τ < 0 for a front; |τ| is at least 0.1 σ.
 *
 *     d = σ_R − σ_L,  Var = σ_L σ_R + (1 − 2/π) d²,  μ₃ = √(2/π) d (σ_L σ_R + (4/π − 1) d²);  μ₃ = 2τ³, Var = σ² + τ²
 *
 * A bi-Gaussian has a kink at its apex and less tail than its half widths promise, so it only starts a fit.
 *
 * @source moments of half Gaussians (derived)
 */
export function emgLike({ left, right }: BiGaussian): { readonly sigma: number; readonly tau: number } {
  const d = right - left;
  const variance = left * right + (1 - 2 / Math.PI) * d * d;
  const third = Math.sqrt(2 / Math.PI) * d * (left * right + (4 / Math.PI - 1) * d * d);
  const tau = Math.cbrt(third / 2);
  const sigma = Math.sqrt(variance - tau * tau);
  const least = SHORTEST_TAIL * sigma;
  return { sigma, tau: Math.abs(tau) < least ? (tau < 0 ? -least : least) : tau };
}

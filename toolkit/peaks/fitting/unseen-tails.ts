import type { NaturalCovariance } from "./natural-covariance.js";

/** A peak whose exponential the record cannot tell from none: as far as it shows, a Gaussian. */
export interface UnseenTail {
  /** From 1, as the fit counts its peaks. */
  readonly peak: number;
  /** A tail or front would have been seen from this |τ| on, min. */
  readonly below: number;
}

/** Coverage of "not told from none", in standard uncertainties. */
const COVERAGE = 2;
/** Below this share of σ no fit goes. */
const VANISHED = 0.006;

/**
 * Peaks whose τ cannot be told from 0. A short exponential shows by the skewness 2τ³ alone, σ follows whatever τ does;
 * so τ³ and its uncertainty 3τ²u(τ) are looked at: unseen where τ³ ≤ 2·3τ²u(τ), below (τ³ + 6τ²u(τ))^(1/3).
 *
 * @source third central moment of the exponentially modified Gaussian; propagation to τ³ (derived)
 */
export function unseenTails(
  { parameters, covariance }: NaturalCovariance,
  peaks: readonly { readonly sigma: number; readonly tau: number }[],
): readonly UnseenTail[] {
  return peaks.flatMap(({ sigma, tau }, k) => {
    const shared = parameters.indexOf("tau");
    const at = shared < 0 ? parameters.indexOf(`tau ${k + 1}`) : shared;
    if (at < 0) return [];
    const size = Math.abs(tau);
    const spread = 3 * COVERAGE * Math.sqrt(Math.max(covariance[at][at], 0));
    const vanished = size <= VANISHED * sigma;
    if (!vanished && !(size <= spread)) return [];
    const below = Math.cbrt(size ** 3 + size ** 2 * spread);
    return [{ peak: k + 1, below }];
  });
}

/** Moments that would fall below this share of themselves are not followed. */
const LEAST_SHARE = 0.2;

/**
 * By what τ is multiplied so that a peak's third central moment 2τ³ grows as a step of ln τ says: ∛(1 + 3δ), to first
 * order e^δ.
 */
export function tailFactor(byLnTau: number): number {
  const third = 1 + 3 * byLnTau;
  return third > LEAST_SHARE ? Math.cbrt(third) : Math.exp(byLnTau);
}

/**
 * By what σ is multiplied so that the variance σ² + τ² grows as steps of ln σ and ln τ say, τ having been multiplied by
 * `tail`; to first order e^δ of ln σ.
 *
 * @param ratio τ²/σ² before the step
 */
export function coreFactor(byLnSigma: number, byLnTau: number, tail: number, ratio: number): number {
  const square = 1 + 2 * byLnSigma + ratio * (1 + 2 * byLnTau - tail * tail);
  return square > LEAST_SHARE ? Math.sqrt(square) : Math.exp(byLnSigma);
}

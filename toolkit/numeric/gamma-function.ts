import { requirePositive } from "./domain.js";

const HALF_LN_TWO_PI = 0.9189385332046727;
/** From here on the asymptotic series of the Stirling correction is exact to the last bit. */
const ASYMPTOTIC_FROM = 9;

/**
 * ln Γ(z) = (z − ½)·ln z − z + ½·ln 2π + δ(z), error below 5e-15, relative to ln Γ where that is above 1.
 * @param z above zero
 * @throws IonbookError "out-of-domain" for z ≤ 0 and NaN
 * @source NIST Digital Library of Mathematical Functions §5.11 (Stirling's series), §5.5 (recurrence)
 */
export function logGamma(z: number): number {
  requirePositive(z, "z", "logGamma");
  if (z === 1 || z === 2) return 0;
  let shifted = z;
  let product = 1;
  for (; shifted < ASYMPTOTIC_FROM; shifted++) product *= shifted;
  const size = (shifted - 0.5) * Math.log(shifted) - shifted + HALF_LN_TWO_PI + stirlingSeries(shifted);
  return size - Math.log(product);
}

/**
 * The Stirling correction δ(z) = ln Γ(z) − (z − ½)·ln z + z − ½·ln 2π for z > 0: small, so that ratios of gamma
 * functions of large arguments keep their digits.
 * @source DLMF §5.11.1; below z = 9 by δ(z) = δ(z + 1) + (z + ½)·ln(1 + 1/z) − 1
 */
export function stirlingCorrection(z: number): number {
  let sum = 0;
  let shifted = z;
  for (; shifted < ASYMPTOTIC_FROM; shifted++) sum += (shifted + 0.5) * Math.log1p(1 / shifted) - 1;
  return sum + stirlingSeries(shifted);
}

/** Σ B₂ₖ/(2k(2k − 1)z^(2k−1)), seven terms. */
function stirlingSeries(z: number): number {
  const y = 1 / (z * z);
  const tail = 1 / 1188 + y * (-691 / 360360 + y / 156);
  return (1 / 12 + y * (-1 / 360 + y * (1 / 1260 + y * (-1 / 1680 + y * tail)))) / z;
}

/**
 * ln(1 + u) − u for u > −1, without the cancellation near u = 0.
 * @param onePlusU 1 + u, from callers who know it better than the addition would give it (u near −1)
 */
export function log1pMinus(u: number, onePlusU: number = 1 + u): number {
  if (Math.abs(u) > 0.4) return Math.log(onePlusU) - u;
  // ln(1 + u) = 2·atanh(v) with v = u/(2 + u), and 2v − u = −u·v exactly.
  const v = u / (2 + u);
  const square = v * v;
  let power = 2 * v * square;
  let sum = -u * v;
  for (let n = 3; ; n += 2) {
    const next = sum + power / n;
    if (next === sum) return sum;
    sum = next;
    power *= square;
  }
}

import { chiSquaredQuantile, chiSquaredUpperTail } from "./chi-squared-distribution.js";
import { requireNumber, requirePositive, requireProbability } from "./domain.js";
import { regularizedBetaOf } from "./incomplete-beta.js";
import { positiveQuantile } from "./positive-quantile.js";
import { remembered } from "./remembered-quantiles.js";

/**
 * P(F > f) for Fisher's F with ν₁ (numerator) and ν₂ (denominator) degrees of freedom: I_y(ν₂/2, ν₁/2) with
 * y = ν₂/(ν₂ + ν₁·f). ν₂ may be Infinity (chi-squared over ν₁).
 * @throws IonbookError "out-of-domain" for degrees of freedom ≤ 0
 * @source NIST/SEMATECH e-Handbook §1.3.6.6.5; DLMF §8.17
 */
export function fisherUpperTail(f: number, dofNumerator: number, dofDenominator: number): number {
  requireNumber(f, "F", "fisherUpperTail");
  if (dofDenominator === Infinity) return chiSquaredUpperTail(f * dofNumerator, dofNumerator);
  return f <= 0 ? 1 : tail(f, dofNumerator, dofDenominator, true);
}

/**
 * The f with P(F ≤ f) = p for Fisher's F with ν₁ and ν₂ degrees of freedom.
 * @param p lower probability, 0 to 1
 * @throws IonbookError "out-of-domain"
 */
export function fisherQuantile(p: number, dofNumerator: number, dofDenominator: number): number {
  requireProbability(p, "fisherQuantile");
  requirePositive(dofNumerator, "the numerator's degrees of freedom", "fisherQuantile");
  requirePositive(dofDenominator, "the denominator's degrees of freedom", "fisherQuantile");
  if (dofDenominator === Infinity) return chiSquaredQuantile(p, dofNumerator) / dofNumerator;
  return finiteQuantile(p, dofNumerator, dofDenominator);
}

const finiteQuantile = remembered((p, dof1, dof2) =>
  positiveQuantile(
    p,
    (f) => tail(f, dof1, dof2, false),
    (f) => tail(f, dof1, dof2, true),
    1,
  ),
);

function tail(f: number, dof1: number, dof2: number, upper: boolean): number {
  if (f === Infinity) return upper ? 0 : 1;
  const x = (dof1 * f) / (dof2 + dof1 * f);
  const y = dof2 / (dof2 + dof1 * f);
  return upper ? regularizedBetaOf(y, x, dof2 / 2, dof1 / 2) : regularizedBetaOf(x, y, dof1 / 2, dof2 / 2);
}

import { requirePositive, requireProbability } from "./domain.js";
import { regularizedGammaP, regularizedGammaQ } from "./incomplete-gamma.js";
import { normalQuantile } from "./normal-distribution.js";
import { positiveQuantile } from "./positive-quantile.js";
import { remembered } from "./remembered-quantiles.js";

/**
 * P(X > x) for chi-squared X with ν degrees of freedom: Q(ν/2, x/2).
 * @throws IonbookError "out-of-domain" for ν ≤ 0
 * @source NIST/SEMATECH e-Handbook §1.3.6.6.6; DLMF §8.2
 */
export function chiSquaredUpperTail(x: number, dof: number): number {
  return regularizedGammaQ(dof / 2, x / 2);
}

/**
 * The x with P(X ≤ x) = p for chi-squared X with ν degrees of freedom.
 * @param p lower probability, 0 to 1
 * @throws IonbookError "out-of-domain"
 */
export function chiSquaredQuantile(p: number, dof: number): number {
  requireProbability(p, "chiSquaredQuantile");
  requirePositive(dof, "the degrees of freedom", "chiSquaredQuantile");
  if (p === 0 || p === 1) return p === 0 ? 0 : Infinity;
  return insideQuantile(p, dof, 0);
}

const insideQuantile = remembered((p, dof) => {
  const a = dof / 2;
  // Wilson–Hilferty (1931): the cube root is nearly normal.
  const cubeRoot = 1 - 2 / (9 * dof) + normalQuantile(p) * Math.sqrt(2 / (9 * dof));
  const start = a * Math.max(cubeRoot, 1e-3) ** 3;
  return (
    2 *
    positiveQuantile(
      p,
      (x) => regularizedGammaP(a, x),
      (x) => regularizedGammaQ(a, x),
      start,
    )
  );
});

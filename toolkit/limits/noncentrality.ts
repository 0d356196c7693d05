import { noncentralStudentCdf, studentQuantile } from "../numeric/distributions.js";
import { remembered } from "../numeric/remembered-quantiles.js";
import { brentRoot } from "../numeric/roots.js";

/**
 * δ(α, β, ν): how many standard deviations a content must lie above zero so that a result beyond t(1 − α, ν)·s is
 * missed with probability β:
 *
 *     P(T′(ν, δ) ≤ t(1 − α, ν)) = β,   T′ noncentral t
 *
 * For ν = Infinity it is z(1 − α) + z(1 − β). It is about t(1 − α, ν) + t(1 − β, ν).
 * @throws IonbookError "out-of-domain"
 * @source ISO 11843-1:1997 and 11843-2:2000; L. A. Currie, Pure Appl. Chem. 67 (1995) 1699, 3.7
 */
export function detectionNoncentrality(alpha: number, beta: number, dof: number): number {
  return solved(alpha, beta, dof);
}

const solved = remembered((alpha, beta, dof) => {
  const t = studentQuantile(1 - alpha, dof);
  const guess = t + studentQuantile(1 - beta, dof);
  if (dof === Infinity) return guess;
  return brentRoot((delta) => noncentralStudentCdf(t, dof, delta) - beta, 0, 2 * guess, {
    relativeTolerance: 1e-12,
  });
});

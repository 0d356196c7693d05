import { requireNumber, requirePositive, requireProbability } from "./domain.js";
import { regularizedBetaOf } from "./incomplete-beta.js";
import { gammaDensity } from "./incomplete-gamma.js";
import { normalCdf, normalQuantile } from "./normal-distribution.js";
import { brentRoot } from "./roots.js";
import { studentCdf, studentQuantile } from "./student-distribution.js";

/** Below this |δ| moves no probability by as much as its last digit. */
const NO_NONCENTRALITY = 1e-17;
/** Terms below this part of the sum end it. */
const NEGLIGIBLE = 1e-17;

/**
 * P(T ≤ t) for noncentral t, T = (Z + δ)/√(χ²_ν/ν): the chance that a mean δ standard errors away from zero gives a
 * t not above this. For t ≥ 0
 *
 *   Φ(−δ) + ½ Σⱼ [pⱼ·I_x(j + ½, ν/2) + qⱼ·I_x(j + 1, ν/2)],   x = t²/(ν + t²),
 *
 * pⱼ = e^(−λ)λʲ/j!, qⱼ = e^(−λ)·δ·λʲ/(√2·Γ(j + 3/2)), λ = δ²/2, summed outwards from j ≈ λ so that large δ do not
 * underflow; for t < 0 it is 1 − P(T′ ≤ −t) with noncentrality −δ. Absolute error about 1e-13.
 *
 * @param dof ν above zero, Infinity allowed (normal around δ)
 * @throws IonbookError "out-of-domain"
 * @source R. V. Lenth, Algorithm AS 243, Appl. Statist. 38 (1989) 185–189; order of summation by D. Benton and
 *   K. Krishnamoorthy, Comput. Statist. Data Anal. 43 (2003) 249–267
 */
export function noncentralStudentCdf(t: number, dof: number, noncentrality: number): number {
  requireNumber(t, "t", "noncentralStudentCdf");
  requireNumber(noncentrality, "the noncentrality", "noncentralStudentCdf");
  requirePositive(dof, "the degrees of freedom", "noncentralStudentCdf");
  if (dof === Infinity) return normalCdf(t - noncentrality);
  if (Math.abs(noncentrality) < NO_NONCENTRALITY) return studentCdf(t, dof);
  const probability =
    t < 0 ? 1 - cdfOfPositive(-t, dof, -noncentrality) : cdfOfPositive(t, dof, noncentrality);
  return Math.min(1, Math.max(0, probability));
}

/**
 * The t with P(T ≤ t) = p for noncentral t.
 * @param p lower probability, 0 to 1
 * @throws IonbookError "out-of-domain"
 */
export function noncentralStudentQuantile(p: number, dof: number, noncentrality: number): number {
  requireProbability(p, "noncentralStudentQuantile");
  requirePositive(dof, "the degrees of freedom", "noncentralStudentQuantile");
  if (p === 0 || p === 1) return p === 0 ? -Infinity : Infinity;
  if (dof === Infinity) return noncentrality + normalQuantile(p);
  const miss = (t: number) => noncentralStudentCdf(t, dof, noncentrality) - p;
  const centre = noncentrality + studentQuantile(p, dof);
  let reach = 1 + 0.5 * Math.abs(centre);
  let low = centre - reach;
  let high = centre + reach;
  for (; miss(low) > 0; reach *= 2) low -= reach;
  for (; miss(high) < 0; reach *= 2) high += reach;
  return brentRoot(miss, low, high, { relativeTolerance: 1e-15, absoluteTolerance: 1e-15 });
}

function cdfOfPositive(t: number, dof: number, delta: number): number {
  if (t === Infinity) return 1;
  const square = t * t;
  const x = square / (dof + square);
  const y = dof / (dof + square);
  const lambda = (delta * delta) / 2;
  const start = Math.floor(lambda);
  const up = sumTerms(start, 1, lambda, delta, x, y, dof / 2);
  const down = start > 0 ? sumTerms(start - 1, -1, lambda, delta, x, y, dof / 2) : 0;
  return normalCdf(-delta) + 0.5 * (up + down);
}

/** Adds the terms from j = start upwards (direction 1) or downwards to j = 0 (−1), until they no longer count. */
function sumTerms(
  start: number,
  direction: 1 | -1,
  lambda: number,
  delta: number,
  x: number,
  y: number,
  halfDof: number,
): number {
  let p = poissonWeight(start, lambda);
  let q = Math.sign(delta) * poissonWeight(start + 0.5, lambda);
  let sum = 0;
  for (let j = start; j >= 0; j += direction) {
    const even = p * regularizedBetaOf(x, y, j + 0.5, halfDof);
    const odd = q * regularizedBetaOf(x, y, j + 1, halfDof);
    sum += even + odd;
    // Upwards weights and beta functions both fall; downwards the weights alone bound what is still to come.
    if ((direction > 0 ? even + Math.abs(odd) : p + Math.abs(q)) < NEGLIGIBLE) break;
    p *= direction > 0 ? lambda / (j + 1) : j / lambda;
    q *= direction > 0 ? lambda / (j + 1.5) : (j + 0.5) / lambda;
  }
  return sum;
}

/** e^(−λ)·λ^s/Γ(s + 1), also for half-integer s; at s = j + ½ it is |qⱼ|, because |δ|/√2 = √λ. */
function poissonWeight(s: number, lambda: number): number {
  return gammaDensity(s + 1, lambda) / lambda;
}

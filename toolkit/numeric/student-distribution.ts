import { requireNumber, requirePositive, requireProbability } from "./domain.js";
import { regularizedBetaOf } from "./incomplete-beta.js";
import { normalCdf, normalQuantile } from "./normal-distribution.js";
import { positiveQuantile } from "./positive-quantile.js";
import { remembered } from "./remembered-quantiles.js";

/** From here on t and normal differ by less than 1e-16 wherever the tail is above 1e-30. */
const NORMAL_FROM = 1e20;

/**
 * P(T ≤ t) for Student's t with ν degrees of freedom (Infinity: normal): I_x(ν/2, ½)/2 in the lower tail, with
 * x = ν/(ν + t²).
 * @throws IonbookError "out-of-domain" for ν ≤ 0
 * @source NIST/SEMATECH e-Handbook §1.3.6.6.4; DLMF §8.17
 */
export function studentCdf(t: number, dof: number): number {
  requireNumber(t, "t", "studentCdf");
  requirePositive(dof, "the degrees of freedom", "studentCdf");
  if (dof >= NORMAL_FROM) return normalCdf(t);
  const tail = outside(Math.abs(t), dof) / 2;
  return t <= 0 ? tail : 1 - tail;
}

/**
 * The t with P(T ≤ t) = p for Student's t with ν degrees of freedom (Infinity: normal); ±Infinity for p = 1 and 0.
 * @param p lower probability, 0 to 1
 * @throws IonbookError "out-of-domain"
 */
export function studentQuantile(p: number, dof: number): number {
  requireProbability(p, "studentQuantile");
  requirePositive(dof, "the degrees of freedom", "studentQuantile");
  if (dof >= NORMAL_FROM || p === 0.5) return normalQuantile(p);
  const tail = Math.min(p, 1 - p);
  const size = sizeOf(tail, dof, 0);
  return p < 0.5 ? -size : size;
}

/** |t| of a tail: its lower probability is 1 − 2·tail, asked through the upper side when the tail is the smaller part. */
const sizeOf = remembered((tail, dof) =>
  tail < 0.25
    ? 1 /
      positiveQuantile(
        2 * tail,
        (r) => outside(1 / r, dof),
        (r) => inside(1 / r, dof),
        0.5,
      )
    : positiveQuantile(
        1 - 2 * tail,
        (t) => inside(t, dof),
        (t) => outside(t, dof),
        1,
      ),
);

/** P(|T| > t), t ≥ 0. */
function outside(t: number, dof: number): number {
  const square = t * t;
  if (square === Infinity) return 0;
  return regularizedBetaOf(dof / (dof + square), square / (dof + square), dof / 2, 0.5);
}

/** P(|T| ≤ t), t ≥ 0. */
function inside(t: number, dof: number): number {
  const square = t * t;
  if (square === Infinity) return 1;
  return regularizedBetaOf(square / (dof + square), dof / (dof + square), 0.5, dof / 2);
}

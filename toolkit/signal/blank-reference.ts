import { medianInPlace } from "../numeric/robust.js";
import { mean } from "../numeric/summary.js";
import { createWhittakerSolver } from "../numeric/whittaker.js";
import { stiffnessFor } from "./arpls.js";

export interface BlankReferenceOptions {
  /** Standard deviation of the widest peak, samples. */
  readonly peakWidth: number;
  /** Index stretches in which blanks may hold real peaks: the reference runs smoothly through them. */
  readonly masked?: readonly (readonly [first: number, last: number])[];
}

/**
 * What the programme alone does to the signal: the smoothed middle of several blank runs, to be subtracted
 * before the baseline is drawn. It takes out the gradient's rise and corner, the recovery after the void and
 * whatever system peak is alike in every run.
 *
 * The point-wise median (the mean below three blanks) keeps one contaminated blank from mattering; smoothing
 * with λ = (σ/2)⁴, short enough to follow a step of the programme, keeps its noise out of the samples.
 *
 * @param blanks records on one common time axis, same unit, at least one
 */
export function blankReference(
  blanks: readonly Float64Array[],
  options: BlankReferenceOptions,
): Float64Array {
  const n = blanks[0].length;
  const middle = new Float64Array(n);
  const column = new Float64Array(blanks.length);
  for (let i = 0; i < n; i++) {
    for (let b = 0; b < blanks.length; b++) column[b] = blanks[b][i];
    middle[i] = blanks.length < 3 ? mean(column) : medianInPlace(column);
  }
  const weights = new Float64Array(n).fill(1);
  for (const [first, last] of options.masked ?? [])
    weights.fill(1e-8, Math.max(first, 0), Math.min(last + 1, n));
  const out = new Float64Array(n);
  createWhittakerSolver(n).solveInto(out, middle, weights, stiffnessFor(options.peakWidth, 1, 0.5));
  return out;
}

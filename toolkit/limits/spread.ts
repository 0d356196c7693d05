import { IonbookError } from "../errors.js";
import { chiSquaredQuantile } from "../numeric/distributions.js";
import { requireFigures } from "./require-figures.js";

/** Factors on an estimated standard deviation between which the true one lies. */
export interface SpreadFactors {
  readonly low: number;
  readonly high: number;
}

/**
 * The interval of σ beside its estimate s from ν degrees of freedom, as factors on s:
 *
 *     √(ν/χ²(1 − (1 − p)/2, ν)) … √(ν/χ²((1 − p)/2, ν))
 *
 * 0.66 … 2.04 for eight replicates at 95 %. Both are 1 for a known σ (ν = Infinity).
 * @throws IonbookError "out-of-domain" for ν ≤ 0
 * @source textbook: χ² interval of a variance
 */
export function spreadFactors(dof: number, level = 0.95): SpreadFactors {
  if (dof === Infinity) return { low: 1, high: 1 };
  const tail = (1 - level) / 2;
  return {
    low: Math.sqrt(dof / chiSquaredQuantile(1 - tail, dof)),
    high: Math.sqrt(dof / chiSquaredQuantile(tail, dof)),
  };
}

/**
 * One standard deviation from several sets: s_p = √(Σ νᵢsᵢ²/Σ νᵢ), with ν = Σ νᵢ.
 * @throws IonbookError "bad-option", "bad-spread" for an empty list, s below zero or ν not above zero
 * @source textbook: pooled variance; 40 CFR 136 App. B rev. 2 pools this way (from memory)
 */
export function pooledStandardDeviation(
  sets: readonly { readonly standardDeviation: number; readonly dof: number }[],
): { readonly standardDeviation: number; readonly dof: number } {
  if (!Array.isArray(sets)) {
    throw new IonbookError(
      "bad-spread",
      "Spreads are pooled from a list: pooledStandardDeviation([{ standardDeviation: 0.0019, dof: 7 }, …])",
    );
  }
  for (const set of sets) {
    requireFigures(set, "A set", [], "{ standardDeviation: 0.0019, dof: 7 }");
  }
  const bad = sets.find(
    ({ standardDeviation: s, dof }) => !(s >= 0 && s < Infinity && dof > 0 && dof < Infinity),
  );
  if (sets.length === 0 || bad) {
    throw new IonbookError(
      "bad-spread",
      bad
        ? `A set has s = ${bad.standardDeviation} with ${bad.dof} degrees of freedom: s must not lie below zero, and both must be finite`
        : "There is no set to pool: give each with its standardDeviation and dof",
    );
  }
  const dof = sets.reduce((sum, set) => sum + set.dof, 0);
  const squares = sets.reduce((sum, set) => sum + set.dof * set.standardDeviation ** 2, 0);
  return { standardDeviation: Math.sqrt(squares / dof), dof };
}

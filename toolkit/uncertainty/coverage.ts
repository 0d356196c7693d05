import { IonbookError } from "../errors.js";
import { studentQuantile } from "../numeric/distributions.js";
import type { Source } from "./source.js";

/**
 * Combined standard uncertainty: √Σcᵢ², scaled so that neither very large nor very small contributions overflow.
 *
 * cᵢ signed contributions sensitivity·u of independent sources, all in the unit of the result.
 *
 * @source JCGM 100:2008 (GUM), 5.1.2, equation (10)
 */
export function combinedUncertainty(contributions: Float64Array): number {
  let largest = 0;
  for (let i = 0; i < contributions.length; i++) largest = Math.max(largest, Math.abs(contributions[i]));
  if (largest === 0) return 0;
  let sum = 0;
  for (let i = 0; i < contributions.length; i++) sum += (contributions[i] / largest) ** 2;
  return largest * Math.sqrt(sum);
}

/**
 * Effective degrees of freedom by Welch and Satterthwaite, not rounded:
 *
 *     ν_eff = u⁴ / Σ(u_i⁴ / ν_i)
 *
 * u_i the contribution of one source, or of one group of sources (√Σc², as they share one estimate of variance);
 * Infinity where all that contribute are known exactly. A value without uncertainty has the fewest degrees of
 * freedom of its sources (equal readings keep n − 1), Infinity where it has none.
 *
 * @source JCGM 100:2008 (GUM), G.4.1, equation (G.2b)
 */
export function effectiveDof(sources: readonly Source[], contributions: Float64Array, u: number): number {
  if (u === 0) return sources.reduce((fewest, { dof }) => Math.min(fewest, dof), Number.POSITIVE_INFINITY);
  const first: { group: string | undefined; share: number; dof: number } = {
    group: undefined,
    share: 0,
    dof: Number.POSITIVE_INFINITY,
  };
  let others: Map<string, { share: number; dof: number }> | undefined;
  let denominator = 0;
  let fewest = Number.POSITIVE_INFINITY;
  for (let i = 0; i < sources.length; i++) {
    const { group, dof } = sources[i];
    const share = (contributions[i] / u) ** 2;
    if (share === 0) continue;
    if (share === 1) return dof;
    fewest = Math.min(fewest, dof);
    if (group === undefined) {
      denominator += share ** 2 / dof;
      continue;
    }
    // Mostly there is but one group, which needs no table.
    first.group ??= group;
    const found = group === first.group ? first : others?.get(group);
    if (found) {
      found.share += share;
      found.dof = Math.min(found.dof, dof);
    } else {
      others ??= new Map();
      others.set(group, { share, dof });
    }
  }
  if (first.group !== undefined) denominator += first.share ** 2 / first.dof;
  if (others) for (const { share, dof } of others.values()) denominator += share ** 2 / dof;
  // Never fewer than the fewest of its sources: rounding must not carry one degree of freedom below one.
  return Math.max(fewest, 1 / denominator);
}

/**
 * Coverage factor k of a two-sided interval: the Student t quantile at (1 + level)/2, or the normal one for
 * infinite degrees of freedom.
 *
 * Effective degrees of freedom are cut to the next lower whole number after rounding to one decimal (16.7 gives
 * 16, and 18.9987, printed as 19.0, gives 19): the formula behind them is too rough to carry more.
 *
 * @param dof degrees of freedom, at least 1
 * @param level coverage probability, between 0 and 1
 * @throws IonbookError "bad-level" unless 0 < level < 1; "bad-dof" unless dof ≥ 1
 * @source JCGM 100:2008 (GUM), G.3.4, G.4.1 and G.6.4
 */
export function coverageFactor(dof: number, level = 0.95): number {
  if (!(level > 0 && level < 1)) {
    throw new IonbookError(
      "bad-level",
      `A level of confidence lies between 0 and 1, not at ${level}; write 0.95 for 95 %`,
    );
  }
  requireDof(dof);
  return studentQuantile((1 + level) / 2, wholeDof(dof));
}

/** Effective degrees of freedom as a table of t is entered: cut to a whole number, at least 1. */
export function wholeDof(dof: number): number {
  return Math.max(1, Math.floor(Math.round(dof * 10) / 10));
}

/** @throws IonbookError "bad-dof" unless dof ≥ 1 (Infinity allowed) */
export function requireDof(dof: number): void {
  if (!(dof >= 1)) {
    throw new IonbookError(
      "bad-dof",
      `Degrees of freedom are ${dof}; they must be 1 or more, or Infinity for a known uncertainty`,
    );
  }
}

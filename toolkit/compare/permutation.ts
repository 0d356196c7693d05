import { mean } from "../numeric/summary.js";

/** Outcome of trying every regrouping of what was measured. */
export interface PermutationTest {
  /** Part of all regroupings with an effect at least as large, either way. */
  readonly p: number;
  readonly regroupings: number;
  /** The smallest p that so many visits can give, however large the effect. */
  readonly smallestP: number;
}

/** More regroupings than this are not tried: the t test stands on firm ground long before. */
const MOST_REGROUPINGS = 1_000_000;

/** Sums that differ by rounding alone count as equal. */
const ROUNDING = 1e-9;

/**
 * Exact two-sided permutation test of the difference of two means: the part of all C(m + n, n) ways to deal the
 * values into groups of the same sizes whose |difference of means| is at least the one found.
 *
 *     smallest p = 2/C(2n, n) for two groups of n,  1/C(m + n, n) for unequal ones
 *
 * So 3 + 3 visits never give less than 0.1. Nothing is assumed of the distribution; undefined for more than a
 * million regroupings.
 *
 * @source R. A. Fisher, The Design of Experiments, 1935, §21; E. J. G. Pitman, Suppl. J. R. Stat. Soc. 4 (1937) 119
 *   (both from memory)
 */
export function permuteGroups(a: readonly number[], b: readonly number[]): PermutationTest | undefined {
  const all = [...a, ...b];
  const regroupings = binomial(all.length, a.length);
  if (regroupings > MOST_REGROUPINGS) return undefined;
  // Against the common mean the sums of both groups are opposite, so one of them tells the whole difference.
  const centre = mean(all);
  const deviations = Float64Array.from(all, (value) => value - centre);
  let found = 0;
  for (let i = 0; i < a.length; i++) found += deviations[i];
  const bar = Math.abs(found) - ROUNDING * largest(deviations);
  let extreme = 0;
  const deal = (from: number, left: number, sum: number): void => {
    if (left === 0) {
      if (Math.abs(sum) >= bar) extreme++;
      return;
    }
    for (let i = from; i <= deviations.length - left; i++) deal(i + 1, left - 1, sum + deviations[i]);
  };
  deal(0, a.length, 0);
  const mirrored = a.length === b.length ? 2 : 1;
  return { p: extreme / regroupings, regroupings, smallestP: mirrored / regroupings };
}

/**
 * Exact two-sided test of a mean of paired differences: the part of all 2ⁿ choices of their signs whose |sum| is at
 * least the one found. The smallest p is 2/2ⁿ: 0.031 for six pairs. Undefined for more than a million choices.
 *
 * @source R. A. Fisher, The Design of Experiments, 1935, §21 (from memory)
 */
export function flipSigns(differences: readonly number[]): PermutationTest | undefined {
  const regroupings = 2 ** differences.length;
  if (regroupings > MOST_REGROUPINGS) return undefined;
  const values = Float64Array.from(differences);
  const bar = Math.abs(values.reduce((sum, value) => sum + value, 0)) - ROUNDING * largest(values);
  let extreme = 0;
  const flip = (at: number, sum: number): void => {
    if (at === values.length) {
      if (Math.abs(sum) >= bar) extreme++;
      return;
    }
    flip(at + 1, sum + values[at]);
    flip(at + 1, sum - values[at]);
  };
  flip(0, 0);
  return { p: extreme / regroupings, regroupings, smallestP: 2 / regroupings };
}

/** C(n, k), counted by products that stay whole. */
function binomial(n: number, k: number): number {
  let count = 1;
  for (let i = 1; i <= k; i++) count = Math.round((count * (n - k + i)) / i);
  return count;
}

function largest(values: Float64Array): number {
  return values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
}

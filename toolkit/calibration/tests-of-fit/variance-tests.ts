import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { fisherQuantile, fisherUpperTail } from "../../numeric/distributions.js";
import { median } from "../../numeric/robust.js";
import { mean, standardDeviation } from "../../numeric/summary.js";
import { type JudgedTest, judgedTest } from "./judged-test.js";

export interface VarianceTestOptions {
  /** α. @default 0.05 for `leveneTest`, 0.01 for `varianceRatioTest` */
  readonly significance?: number;
}

/** A test of variances, with its degrees of freedom. */
export interface VarianceTest extends JudgedTest {
  readonly dfNumerator: number;
  readonly dfDenominator: number;
}

/**
 * Whether several groups of replicates scatter alike, however their errors are distributed (Levene's test about the
 * medians): one-way analysis of variance of z = |x − median of the group|,
 *
 *     F = [Σ nⱼ(z̄ⱼ − z̄)²/(k − 1)] / [ΣΣ(z − z̄ⱼ)²/(N − k)]
 *
 * Weak with three replicates; Cochran's test is stronger where errors are normal.
 *
 * @throws IonbookError "too-few-groups", "no-scatter", "not-a-number", "unknown-option", "bad-option"
 * @source H. Levene 1960 with medians: M. B. Brown and A. B. Forsythe, J. Am. Statist. Assoc. 69 (1974) 364
 */
export function leveneTest(
  groups: readonly (readonly number[])[],
  options: VarianceTestOptions = {},
): VarianceTest {
  const significance = checkedSignificance(options, 0.05, "leveneTest");
  checkGroups(groups);
  const deviations = groups.map((group) => {
    const centre = median(group);
    return group.map((value) => Math.abs(value - centre));
  });
  const all = deviations.flat();
  const grand = mean(all);
  let between = 0;
  let within = 0;
  for (const group of deviations) {
    const own = mean(group);
    between += group.length * (own - grand) ** 2;
    for (const z of group) within += (z - own) ** 2;
  }
  if (!(within > 0)) throw noScatter();
  const dfNumerator = groups.length - 1;
  const dfDenominator = all.length - groups.length;
  const statistic = between / dfNumerator / (within / dfDenominator);
  return varianceTest(
    "equal variances (Levene, medians)",
    statistic,
    significance,
    dfNumerator,
    dfDenominator,
    {
      equal: "the groups scatter alike",
      unequal: "the groups do not scatter alike: give the readings weights",
      source: `Brown and Forsythe 1974, ${100 * significance} %`,
    },
  );
}

/**
 * Whether the replicates of the highest level scatter more than those of the lowest: F = s²_high/s²_low, one-sided.
 * ISO 8466-1 asks for ten replicates each and judges at 99 %; weights are needed where it fails.
 *
 * @throws IonbookError "too-few-groups", "no-scatter", "not-a-number", "unknown-option", "bad-option"
 * @source ISO 8466-1:1990, homogeneity of variances, 99 % (from memory)
 */
export function varianceRatioTest(
  lowest: readonly number[],
  highest: readonly number[],
  options: VarianceTestOptions = {},
): VarianceTest {
  const significance = checkedSignificance(options, 0.01, "varianceRatioTest");
  checkGroups([lowest, highest]);
  const low = standardDeviation(lowest) ** 2;
  if (!(low > 0)) throw noScatter();
  const statistic = standardDeviation(highest) ** 2 / low;
  return varianceTest(
    "equal variances at the ends of the range (F)",
    statistic,
    significance,
    highest.length - 1,
    lowest.length - 1,
    {
      equal: "the top level does not scatter more than the lowest",
      unequal: "the top level scatters more than the lowest: give the readings weights",
      source: `ISO 8466-1:1990, ${100 * (1 - significance)} % (from memory)`,
    },
  );
}

function varianceTest(
  test: string,
  statistic: number,
  significance: number,
  dfNumerator: number,
  dfDenominator: number,
  { equal, unequal, source }: { readonly equal: string; readonly unequal: string; readonly source: string },
): VarianceTest {
  const p = fisherUpperTail(statistic, dfNumerator, dfDenominator);
  const critical = fisherQuantile(1 - significance, dfNumerator, dfDenominator);
  const passed = p >= significance;
  const verdict = passed ? equal : unequal;
  const own = { dfNumerator, dfDenominator };
  return judgedTest({ test, statistic, critical, p, passed, verdict, source }, own);
}

function checkGroups(groups: readonly (readonly number[])[]): void {
  const lists = Array.isArray(groups) && groups.every((group) => Array.isArray(group) && group.length >= 2);
  if (!lists || groups.length < 2) {
    throw new IonbookError(
      "too-few-groups",
      "Comparing variances needs at least two groups with at least two replicates each: [[1.02, 1.04], [9.9, 10.3]]",
    );
  }
  if (groups.flat().some((value: number) => !Number.isFinite(value))) {
    throw new IonbookError("not-a-number", "A replicate is not a number: leave a missing reading out");
  }
}

function checkedSignificance(options: VarianceTestOptions, usual: number, call: string): number {
  requireKnownOptions(options, { significance: true }, call);
  const { significance = usual } = options;
  if (typeof significance === "number" && significance > 0 && significance < 1) return significance;
  throw new IonbookError(
    "bad-option",
    `${call}: significance is ${String(significance)}, give a number between 0 and 1`,
  );
}

function noScatter(): IonbookError {
  return new IonbookError(
    "no-scatter",
    "All replicates agree to the last digit: there is no variance to compare",
  );
}

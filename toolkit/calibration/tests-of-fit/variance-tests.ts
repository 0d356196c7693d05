import { median } from "../../numeric/robust.js";
import { standardDeviation } from "../../numeric/summary.js";
import { oneWay } from "./one-way.js";
import {
  checkedSignificance,
  checkGroups,
  noScatter,
  type VarianceTest,
  type VarianceTestOptions,
  varianceTest,
} from "./variance-test.js";

export type { VarianceTest, VarianceTestOptions };

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
  const { sumOfSquaresBetween, sumOfSquaresWithin, dfBetween, dfWithin } = oneWay(deviations);
  if (!(sumOfSquaresWithin > 0)) throw noScatter();
  const statistic = sumOfSquaresBetween / dfBetween / (sumOfSquaresWithin / dfWithin);
  return varianceTest("equal variances (Levene, medians)", statistic, significance, dfBetween, dfWithin, {
    equal: "the groups scatter alike",
    unequal: "the groups do not scatter alike: give the readings weights",
    source: `Brown and Forsythe 1974, ${100 * significance} %`,
  });
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

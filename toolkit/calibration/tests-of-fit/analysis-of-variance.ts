import { type OneWay, oneWay } from "./one-way.js";
import {
  checkedSignificance,
  checkGroups,
  noScatter,
  type VarianceTest,
  type VarianceTestOptions,
  varianceTest,
} from "./variance-test.js";

/** One-way analysis of variance, and the precision that follows from it. */
export interface AnalysisOfVariance extends VarianceTest, OneWay {
  readonly meanSquareBetween: number;
  readonly meanSquareWithin: number;
  /** √ of the mean square within: standard deviation under repeatability conditions, in the values' unit. */
  readonly repeatabilityStandardDeviation: number;
  /** Between the groups alone (days, laboratories, vials), in the values' unit; 0 where it does not show. */
  readonly betweenStandardDeviation: number;
  /** Of one reading of one group: intermediate precision or reproducibility, by what the groups are. */
  readonly intermediateStandardDeviation: number;
  /** Part of all squares that lies between the groups, 0 to 1. */
  readonly rSquared: number;
}

/**
 * Whether the means of several groups of replicates (days, vials, laboratories) differ by more than their replicates
 * scatter, and how precise a reading is within one group and over all:
 *
 *     F = MS_between/MS_within,  s_r² = MS_within,  s_between² = max(0, (MS_between − MS_within)/n̄),  s_I² = s_r² + s_between²
 *
 * n̄ = (N − Σnⱼ²/N)/(k − 1) replicates a group. `passed` where p is at least the significance. Values of any one unit,
 * which all standard deviations share.
 *
 * @throws IonbookError "too-few-groups", "no-scatter", "not-a-number", "unknown-option", "bad-option"
 * @source one-way analysis of variance (R. A. Fisher); precision: ISO 5725-2:2019, 7.4 (from memory)
 */
export function analysisOfVariance(
  groups: readonly (readonly number[])[],
  options: VarianceTestOptions = {},
): AnalysisOfVariance {
  const significance = checkedSignificance(options, 0.05, "analysisOfVariance");
  checkGroups(groups);
  const parted = oneWay(groups);
  const { sumOfSquaresBetween, sumOfSquaresWithin, dfBetween, dfWithin } = parted;
  if (!(sumOfSquaresWithin > 0)) throw noScatter();
  const meanSquareBetween = sumOfSquaresBetween / dfBetween;
  const meanSquareWithin = sumOfSquaresWithin / dfWithin;
  const count = dfBetween + dfWithin + 1;
  const squaredSizes = groups.reduce((sum, { length }) => sum + length ** 2, 0);
  const perGroup = (count - squaredSizes / count) / dfBetween;
  const between = Math.max(0, (meanSquareBetween - meanSquareWithin) / perGroup);
  const test = varianceTest(
    "equal means (one-way analysis of variance)",
    meanSquareBetween / meanSquareWithin,
    significance,
    dfBetween,
    dfWithin,
    {
      equal: "the groups do not differ beyond the scatter of their replicates",
      unequal: "the groups differ: the precision within one group is not that of the results",
      source: `one-way analysis of variance, ${100 * significance} %`,
    },
  );
  return Object.assign(test, parted, {
    meanSquareBetween,
    meanSquareWithin,
    repeatabilityStandardDeviation: Math.sqrt(meanSquareWithin),
    betweenStandardDeviation: Math.sqrt(between),
    intermediateStandardDeviation: Math.sqrt(meanSquareWithin + between),
    rSquared: sumOfSquaresBetween / (sumOfSquaresBetween + sumOfSquaresWithin),
  });
}

import { mean, standardDeviation } from "../../numeric/summary.js";

/** Scatter of groups, parted into that between their means and that within them. Squares in the square of the values' unit. */
export interface OneWay {
  readonly grandMean: number;
  readonly sumOfSquaresBetween: number;
  readonly sumOfSquaresWithin: number;
  readonly dfBetween: number;
  readonly dfWithin: number;
}

/**
 * Σ nⱼ(x̄ⱼ − x̄)² and ΣΣ(x − x̄ⱼ)², with k − 1 and N − k degrees of freedom, for k groups of at least two values. Counted from
 * the first value, whose difference to all others near it is exact: a large common part costs no digit. O(N).
 */
export function oneWay(groups: readonly (readonly number[])[]): OneWay {
  const origin = groups[0][0];
  const shifted = groups.map((group) => group.map((value) => value - origin));
  const count = shifted.reduce((sum, group) => sum + group.length, 0);
  const means = shifted.map((group) => mean(group));
  const centre = shifted.reduce((sum, group, j) => sum + group.length * means[j], 0) / count;
  return {
    grandMean: origin + centre,
    sumOfSquaresBetween: shifted.reduce((sum, group, j) => sum + group.length * (means[j] - centre) ** 2, 0),
    sumOfSquaresWithin: shifted.reduce(
      (sum, group) => sum + (group.length - 1) * standardDeviation(group) ** 2,
      0,
    ),
    dfBetween: groups.length - 1,
    dfWithin: count - groups.length,
  };
}

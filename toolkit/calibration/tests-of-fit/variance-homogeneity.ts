import { IonbookError } from "../../errors.js";
import { fisherQuantile, fisherUpperTail } from "../../numeric/distributions.js";
import { type JudgedTest, judgedTest } from "./judged-test.js";
import { requireCritical } from "./require-critical.js";

/** Cochran's test of the largest of several variances. */
export interface CochranTest {
  /** C = largest s²/Σs² */
  readonly C: number;
  readonly critical5Percent: number;
  readonly critical1Percent: number;
  /** Upper bound of the probability of a C as large among equal variances (Bonferroni). */
  readonly p: number;
}

/**
 * Whether the largest variance of several groups of replicates stands out: C = max s²/Σs² with its critical values.
 * Groups of unequal size are judged at their mean size, rounded.
 * @throws IonbookError "too-few-groups" for fewer than two groups or a group without replicates; "no-scatter"
 * @source W. G. Cochran, Ann. Eugenics 11 (1941) 47; ISO 5725-2:1994, 7.3.3
 */
export function cochranTest(groups: readonly (readonly number[])[]): JudgedTest & CochranTest {
  if (!Array.isArray(groups) || groups.length < 2 || !groups.every((group) => group?.length >= 2)) {
    throw new IonbookError(
      "too-few-groups",
      "Comparing variances needs at least two groups with at least two replicates each",
    );
  }
  const variances = groups.map(variance);
  if (!variances.some((v) => v > 0)) {
    throw new IonbookError(
      "no-scatter",
      "All replicates agree to the last digit: there is no variance to compare",
    );
  }
  const n = Math.round(groups.reduce((sum, group) => sum + group.length, 0) / groups.length);
  return judged(cochranOf(variances, n));
}

/** Judged as outliers are: beyond 1 % it stands out, beyond 5 % it is marked. */
function judged(found: CochranTest): JudgedTest & CochranTest {
  const { C, critical5Percent, critical1Percent, p } = found;
  const verdict =
    C > critical1Percent
      ? "the groups do not scatter alike: the largest variance stands out (beyond 1 %)"
      : C > critical5Percent
        ? "the largest variance is a straggler (beyond 5 %): mark it"
        : "the groups scatter alike";
  const figures = {
    test: "the largest variance (Cochran)",
    statistic: C,
    critical: critical1Percent,
    p,
    passed: C <= critical1Percent,
    verdict,
    source: "Cochran 1941; ISO 5725-2:1994, 7.3.3",
  };
  return judgedTest(figures, { C, critical5Percent, critical1Percent, p });
}

/** The test of variances that are known, not all of them zero, of n replicates each. */
export function cochranOf(variances: readonly number[], n: number): CochranTest {
  const k = variances.length;
  let total = 0;
  let largest = 0;
  for (const variance of variances) {
    total += variance;
    largest = Math.max(largest, variance);
  }
  const C = largest / total;
  const F = (C * (k - 1)) / (1 - C);
  return {
    C,
    critical5Percent: cochranCritical(0.05, k, n),
    critical1Percent: cochranCritical(0.01, k, n),
    p: Math.min(1, k * fisherUpperTail(F, n - 1, (k - 1) * (n - 1))),
  };
}

/**
 * Critical value of Cochran's C for k groups of n replicates:
 * C = 1/[1 + (k − 1)/F], F the quantile 1 − α/k with n − 1 and (k − 1)(n − 1) degrees of freedom.
 * @throws IonbookError "bad-level", "not-a-number", "too-few-readings"
 * @source W. G. Cochran 1941, critical value through the F distribution (from memory); exact for k = 2, very near otherwise
 */
export function cochranCritical(alpha: number, k: number, n: number): number {
  requireCritical("cochranCritical", alpha, [
    ["the number of variances", k, 2],
    ["the number of readings in each", n, 2],
  ]);
  return 1 / (1 + (k - 1) / fisherQuantile(1 - alpha / k, n - 1, (k - 1) * (n - 1)));
}

function variance(values: readonly number[]): number {
  let sum = 0;
  for (const value of values) sum += value;
  const mean = sum / values.length;
  let squares = 0;
  for (const value of values) squares += (value - mean) ** 2;
  return squares / (values.length - 1);
}

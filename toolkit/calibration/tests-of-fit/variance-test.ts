import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { fisherQuantile, fisherUpperTail } from "../../numeric/distributions.js";
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

/** The figures of an F test, judged. */
export function varianceTest(
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

/** At least two groups of at least two finite numbers. */
export function checkGroups(groups: readonly (readonly number[])[]): void {
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

export function checkedSignificance(options: VarianceTestOptions, usual: number, call: string): number {
  requireKnownOptions(options, { significance: true }, call);
  const { significance = usual } = options;
  if (typeof significance === "number" && significance > 0 && significance < 1) return significance;
  throw new IonbookError(
    "bad-option",
    `${call}: significance is ${String(significance)}, give a number between 0 and 1`,
  );
}

export function noScatter(): IonbookError {
  return new IonbookError(
    "no-scatter",
    "All replicates agree to the last digit: there is no variance to compare",
  );
}

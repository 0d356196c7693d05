import { judgedTest, type TestFigures } from "../calibration/tests-of-fit/judged-test.js";
import { fisherQuantile, fisherUpperTail, studentCdf, studentQuantile } from "../numeric/distributions.js";
import type { BlankTest, BlankTestName } from "./blank-watch-types.js";
import { meanOf, standardDeviationOf } from "./check-replicates.js";
import { tailsAbove } from "./share-above.js";

/** A test that waits for the share of the false-alarm probability that it may spend. */
export type DraftTest = (level: number) => BlankTest;

const TEXTBOOK = "textbook test under normal scatter";
/** Blanks in a running mean (common practice, no source). */
export const RUNNING = 20;

function named(name: BlankTestName, figures: TestFigures): BlankTest {
  return judgedTest(figures, { name });
}

/** F = s²(new)/s²(earlier), one-sided: whether the new ones scatter more. */
export function scatterTest(
  name: BlankTestName,
  what: string,
  earlier: readonly number[],
  later: readonly number[],
): DraftTest {
  const ratio = standardDeviationOf(later) / standardDeviationOf(earlier);
  const [above, below] = [later.length - 1, earlier.length - 1];
  const p = fisherUpperTail(ratio ** 2, above, below);
  return (level) =>
    named(name, {
      test: `${what} scatter as before (F)`,
      statistic: ratio ** 2,
      critical: fisherQuantile(1 - level, above, below),
      p,
      passed: p > level,
      verdict:
        p > level
          ? `no larger scatter of the new ${what} is shown`
          : `the new ${what} scatter ${short(ratio)} times as much as those the limits rest on: the limits are too low`,
      source: `${TEXTBOOK}; that it is watched: common practice, no source`,
    });
}

/** t = (x̄(new) − x̄(earlier))/(s_p·√(1/n + 1/n₀)), two-sided, s_p pooled; one new value alone is held against s₀. */
export function levelTest(
  name: BlankTestName,
  what: string,
  earlier: readonly number[],
  later: readonly number[],
  unit: string,
): DraftTest {
  const [n, n0] = [later.length, earlier.length];
  const difference = meanOf(later) - meanOf(earlier);
  const squares =
    (n > 1 ? (n - 1) * standardDeviationOf(later) ** 2 : 0) + (n0 - 1) * standardDeviationOf(earlier) ** 2;
  const dof = n + n0 - 2;
  const statistic = difference / Math.sqrt((squares / dof) * (1 / n + 1 / n0));
  const p = 2 * studentCdf(-Math.abs(statistic), dof);
  return (level) =>
    named(name, {
      test: `${what} stand at the same level (t)`,
      statistic: Math.abs(statistic),
      critical: studentQuantile(1 - level / 2, dof),
      p,
      passed: p > level,
      verdict:
        p > level
          ? `no other level of the new ${what} is shown`
          : `the new ${what} stand ${short(Math.abs(difference))} ${unit} ${difference > 0 ? "higher" : "lower"} than those the limits rest on`,
      source: `${TEXTBOOK}, pooled standard deviation`,
    });
}

/**
 * Whether more blanks lie above the critical value than its α allows; `estimatedFrom` as in `tailsAbove`. Undefined where
 * there are so few that even all of them would be no alarm at `level`.
 */
export function shareTest(
  above: number,
  of: number,
  alpha: number,
  estimatedFrom: number | undefined,
): (level: number) => BlankTest | undefined {
  const tails = tailsAbove(of, alpha, estimatedFrom);
  return (level) => {
    const least = tails.findIndex((tail) => tail <= level);
    if (least < 0) return undefined;
    const passed = above < least;
    return named("share above", {
      test: "no more blanks above the critical value than α allows",
      statistic: above,
      critical: least - 1,
      p: tails[above],
      passed,
      verdict: passed
        ? `${above} of ${of} blanks lie above the critical value`
        : `${above} of ${of} blanks lie above the critical value, where ${short(100 * alpha)} % are allowed: what is called detected may be the blank`,
      source: `binomial law${estimatedFrom === undefined ? "" : `, averaged over how well ${estimatedFrom} blanks know the critical value`}`,
    });
  };
}

/** Slope of a line through the new blanks in the order of the sequence against its standard error, two-sided. */
export function trendTest(at: readonly number[], values: readonly number[], unit: string): DraftTest {
  const [meanAt, mean] = [meanOf(at), meanOf(values)];
  let [sxx, sxy, syy] = [0, 0, 0];
  values.forEach((value, i) => {
    sxx += (at[i] - meanAt) ** 2;
    sxy += (at[i] - meanAt) * (value - mean);
    syy += (value - mean) ** 2;
  });
  const dof = values.length - 2;
  const slope = sxy / sxx;
  // Rounding can leave a sum of squares below zero where the blanks lie on a line.
  const left = Math.max(0, syy - slope * sxy);
  const statistic = syy === 0 ? 0 : Math.abs(slope) / Math.sqrt(left / dof / sxx);
  const p = 2 * studentCdf(-statistic, dof);
  const change = slope * (at[at.length - 1] - at[0]);
  return (level) =>
    named("trend", {
      test: "no trend of the blanks over the sequence (t)",
      statistic,
      critical: studentQuantile(1 - level / 2, dof),
      p,
      passed: p > level,
      verdict:
        p > level
          ? "no trend of the blanks is shown"
          : `the blanks ${change > 0 ? "rise" : "fall"} by ${short(Math.abs(change))} ${unit} from the first to the last: no single limit holds over the sequence`,
      source: `${TEXTBOOK} of a slope`,
    });
}

/** Whether the mean of the last twenty blanks lies above the critical value; a figure of the trade, no probability. */
export function runningMeanTest(values: readonly number[], criticalValue: number): BlankTest {
  const mean = meanOf(values.slice(-RUNNING));
  const passed = mean <= criticalValue;
  return named("running mean", {
    test: `mean of the last ${RUNNING} blanks below the critical value`,
    statistic: mean,
    critical: criticalValue,
    p: undefined,
    passed,
    verdict: passed
      ? `the last ${RUNNING} blanks are clean on average`
      : `the last ${RUNNING} blanks lie above the critical value on average: water, vessels or instrument are contaminated`,
    source: "common practice, no source",
  });
}

export function short(value: number): string {
  return String(Number(value.toPrecision(3)));
}

import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { fisherQuantile } from "../../numeric/distributions.js";
import { type Level, levelsOf } from "../response/levels.js";
import { requireCalibration } from "../response/require-calibration.js";
import type { Calibration, StandardReading } from "../response/types.js";
import { type JudgedTest, judgedTest } from "../tests-of-fit/judged-test.js";
import { criticalRuns, residualRuns } from "../tests-of-fit/residual-runs.js";
import { cochranOf } from "../tests-of-fit/variance-homogeneity.js";

/** One test of a fit. */
export type FitTest = JudgedTest;

/** What a fit must meet. */
export interface FitCriteria {
  /** Largest |back-calculated error|, %. @default 10 (Standard Methods 4020) */
  readonly backCalculatedPercent?: number;
  /** The same at the lowest level above zero, %. @default 20 (common practice) */
  readonly lowestLevelPercent?: number;
  /** Largest relative standard error, %. @default 20 (SW-846 8000D, from memory) */
  readonly relativeStandardErrorPercent?: number;
  /** Significance of lack of fit. @default 0.05 */
  readonly significance?: number;
}

const KNOWN_CRITERIA = {
  backCalculatedPercent: true,
  lowestLevelPercent: true,
  relativeStandardErrorPercent: true,
  significance: true,
} as const;

/**
 * The tests of fit that the data allow: equal weighted variances (Cochran, 1 %), lack of fit, curvature of
 * a straight line (Mandel), runs of residual signs, back-calculated errors, relative standard error. Tests that need
 * replicates are left out where there are none. r² is no test of fit and does not appear.
 * @throws IonbookError "bad-calibration", "unknown-option", "bad-option"
 * @source each test names its own
 */
export function fitTests(calibration: Calibration, criteria: FitCriteria = {}): readonly FitTest[] {
  requireCalibration(calibration, "fitTests");
  checkCriteria(criteria);
  const levels = levelsOf(calibration.points);
  const tests = [
    equalVariances(calibration, levels),
    noLackOfFit(calibration, criteria.significance ?? 0.05),
    noCurvature(calibration),
    randomSigns(calibration, levels),
    ...smallErrors(calibration, criteria),
  ];
  return tests.filter((test): test is FitTest => test !== undefined);
}

/** @throws IonbookError "unknown-option", "bad-option" */
export function checkCriteria(criteria: FitCriteria): void {
  requireKnownOptions(criteria, KNOWN_CRITERIA, "fitTests");
  for (const [name, value] of Object.entries(criteria)) {
    if (value === undefined || (typeof value === "number" && value > 0)) continue;
    throw new IonbookError("bad-option", `criteria: ${name} is ${String(value)}, give a number above 0`);
  }
}

function equalVariances(calibration: Calibration, levels: readonly Level[]): FitTest | undefined {
  // Brought to equal variance by the curve's own variance model.
  const variances: number[] = [];
  let readings = 0;
  for (const { concentration, members } of levels) {
    if (members.length < 2) continue;
    const expected = calibration.readingVariance(concentration);
    variances.push(varianceAmong(calibration.points, members) / expected);
    readings += members.length;
  }
  if (variances.length < 2 || !variances.some((variance) => variance > 0)) return undefined;
  const { C, critical1Percent, p } = cochranOf(variances, Math.round(readings / variances.length));
  const passed = C <= critical1Percent;
  return judgedTest({
    test: "equal variances after weighting (Cochran)",
    statistic: C,
    critical: critical1Percent,
    p,
    passed,
    verdict: passed ? "the weights fit the scatter" : "one level scatters more than its weight says",
    source: "ISO 5725-2:1994, 7.3.3, 1 %",
  });
}

function varianceAmong(points: readonly StandardReading[], members: readonly number[]): number {
  let sum = 0;
  for (const i of members) sum += points[i].response;
  const mean = sum / members.length;
  let squares = 0;
  for (const i of members) squares += (points[i].response - mean) ** 2;
  return squares / (members.length - 1);
}

function noLackOfFit(calibration: Calibration, significance: number): FitTest | undefined {
  const found = calibration.lackOfFit();
  if (!found) return undefined;
  const passed = found.p >= significance;
  return judgedTest({
    test: "lack of fit",
    statistic: found.F,
    critical: fisherQuantile(1 - significance, found.dfNumerator, found.dfDenominator),
    p: found.p,
    passed,
    verdict: passed
      ? "the levels lie as near as replicates scatter"
      : "the levels lie farther off than replicates scatter",
    source: `Draper and Smith, Applied Regression Analysis, §1.5, ${100 * significance} %`,
  });
}

function noCurvature(calibration: Calibration): FitTest | undefined {
  if (calibration.model !== "linear" && calibration.model !== "through-zero") return undefined;
  const { F, critical, p, relevant, verdict, source } = calibration.mandel();
  if (Number.isNaN(F)) return undefined;
  return judgedTest({
    test: "curvature (Mandel)",
    statistic: F,
    critical,
    p,
    passed: !relevant,
    verdict,
    source,
  });
}

/** Fewer runs than one random order in a hundred has are a pattern (common practice, no source). */
const RUNS_SIGNIFICANCE = 0.01;

function randomSigns(calibration: Calibration, levels: readonly Level[]): FitTest {
  const { points } = calibration;
  const signs: number[] = [];
  for (const { concentration, members } of levels) {
    let sum = 0;
    for (const i of members) sum += points[i].response;
    signs.push(Math.sign(sum / members.length - calibration.respond(concentration)));
  }
  const { runs, longestRun, p } = residualRuns(signs);
  const passed = p >= RUNS_SIGNIFICANCE;
  return judgedTest({
    test: "runs of residual signs over the levels",
    statistic: runs,
    critical: criticalRuns(signs, RUNS_SIGNIFICANCE),
    p,
    passed,
    verdict: passed
      ? `no pattern, longest run ${longestRun}`
      : `a pattern: ${longestRun} levels in a row lie on one side`,
    source: "Wald and Wolfowitz 1940, exact lower tail, 1 % (common practice, no source)",
  });
}

function smallErrors(calibration: Calibration, criteria: FitCriteria): FitTest[] {
  const { backCalculatedPercent = 10, lowestLevelPercent = 20, relativeStandardErrorPercent = 20 } = criteria;
  const { atLowest, above } = calibration.largestErrors();
  const row = (test: string, statistic: number, critical: number, source: string): FitTest => {
    const passed = statistic <= critical;
    const verdict = passed ? "within the limit" : "beyond the limit";
    return judgedTest({ test, statistic, critical, p: undefined, passed, verdict, source });
  };
  return [
    row(
      "back-calculated error above the lowest level, %",
      above,
      backCalculatedPercent,
      "Standard Methods 4020",
    ),
    row(
      "back-calculated error at the lowest level, %",
      atLowest,
      lowestLevelPercent,
      "common practice, no source",
    ),
    row(
      "relative standard error, %",
      calibration.relativeStandardErrorPercent,
      relativeStandardErrorPercent,
      "SW-846 8000D (from memory)",
    ),
  ];
}

import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { studentCdf, studentQuantile } from "../../numeric/distributions.js";
import { mean, standardDeviation } from "../../numeric/summary.js";
import { dixonCritical, dixonProbability } from "./dixon-distribution.js";
import { type JudgedTest, judgedTest } from "./judged-test.js";
import { requireCritical } from "./require-critical.js";

export interface OutlierOptions {
  /** How the readings are called in the verdict, e.g. "level L3". @default "readings" */
  readonly what?: string;
}

/** What an outlier test says of the reading that stands out most. */
export interface OutlierTest extends JudgedTest {
  /** Index of the reading that stands out most. */
  readonly suspect: number;
  readonly critical5Percent: number;
  readonly critical1Percent: number;
  /** Beyond 1 % an outlier, beyond 5 % a straggler, which is kept and marked. */
  readonly status: "unsuspicious" | "straggler" | "outlier";
}

/**
 * Whether the reading farthest from the mean of repeated readings stands out (Grubbs, two-sided):
 *
 *     G = max|x − x̄|/s,   critical (n − 1)/√n · √[t²/(n − 2 + t²)],  t = t(1 − α/2n; n − 2)
 *
 * `passed` below the 1 % point; between 5 % and 1 % a straggler: kept and marked. An outlier is not deleted by a test:
 * a calibration point goes only with a recorded cause. For normally scattered readings, one suspect at a time.
 *
 * @throws IonbookError "too-few-readings" below three, "not-a-number", "no-scatter", "unknown-option"
 * @source F. E. Grubbs, Ann. Math. Statist. 21 (1950) 27; ISO 5725-2:1994, 7.3.4 (5 % straggler, 1 % outlier)
 */
export function grubbsTest(readings: readonly number[], options: OutlierOptions = {}): OutlierTest {
  const what = checked(readings, options, "grubbsTest");
  const n = readings.length;
  const centre = mean(readings);
  const s = standardDeviation(readings);
  const distance = readings.map((value) => Math.abs(value - centre));
  const suspect = distance.indexOf(Math.max(...distance));
  const G = distance[suspect] / s;
  const squared = (n * (n - 2) * G * G) / Math.max((n - 1) ** 2 - n * G * G, 0);
  const p = Number.isFinite(squared) ? Math.min(1, 2 * n * studentCdf(-Math.sqrt(squared), n - 2)) : 0;
  return outlierTest("one outlier (Grubbs)", readings, suspect, what, {
    statistic: G,
    p,
    critical5Percent: grubbsCritical(0.05, n),
    critical1Percent: grubbsCritical(0.01, n),
    source: "Grubbs 1950; ISO 5725-2:1994, 7.3.4, two-sided",
  });
}

/**
 * Critical value of Grubbs' G, two-sided, for n readings.
 * @throws IonbookError "bad-level", "not-a-number", "too-few-readings"
 * @source ISO 5725-2:1994, table 5, through the Student distribution
 */
export function grubbsCritical(alpha: number, n: number): number {
  requireCritical("grubbsCritical", alpha, [["the number of readings", n, 3]]);
  const t = studentQuantile(1 - alpha / (2 * n), n - 2);
  return ((n - 1) / Math.sqrt(n)) * Math.sqrt((t * t) / (n - 2 + t * t));
}

/**
 * Whether the lowest or the highest of a few readings stands apart (Dixon's r₁₀, two-sided):
 *
 *     Q = gap to the neighbour / range
 *
 * Critical values by integrating the distribution of Q for normal readings, three to thirty of them.
 *
 * @throws IonbookError "too-few-readings" below three, "too-many-readings" above thirty, "not-a-number", "no-scatter",
 *   "unknown-option"
 * @source W. J. Dixon, Ann. Math. Statist. 22 (1951) 68; levels as D. B. Rorabacher, Anal. Chem. 63 (1991) 139
 */
export function dixonTest(readings: readonly number[], options: OutlierOptions = {}): OutlierTest {
  const what = checked(readings, options, "dixonTest");
  const n = readings.length;
  const sorted = [...readings].sort((a, b) => a - b);
  const range = sorted[n - 1] - sorted[0];
  const [below, above] = [(sorted[1] - sorted[0]) / range, (sorted[n - 1] - sorted[n - 2]) / range];
  const statistic = Math.max(below, above);
  return outlierTest(
    "one outlier (Dixon)",
    readings,
    readings.indexOf(above > below ? sorted[n - 1] : sorted[0]),
    what,
    {
      statistic,
      p: Math.min(1, 2 * dixonProbability(statistic, n)),
      critical5Percent: dixonCritical(0.05, n),
      critical1Percent: dixonCritical(0.01, n),
      source: "Dixon 1951, r10; Rorabacher 1991, two-sided",
    },
  );
}

interface OutlierFigures {
  readonly statistic: number;
  readonly p: number;
  readonly critical5Percent: number;
  readonly critical1Percent: number;
  readonly source: string;
}

function outlierTest(
  test: string,
  readings: readonly number[],
  suspect: number,
  what: string,
  figures: OutlierFigures,
): OutlierTest {
  const { statistic, p, critical5Percent, critical1Percent, source } = figures;
  const status =
    statistic > critical1Percent ? "outlier" : statistic > critical5Percent ? "straggler" : "unsuspicious";
  const value = readings[suspect];
  const verdicts = {
    unsuspicious: `no reading of ${what} stands out`,
    straggler: `${value} of ${what} is a straggler (beyond 5 %): keep it and mark it`,
    outlier: `${value} of ${what} is an outlier (beyond 1 %): look for the cause and inject again; it is left out only with a reason`,
  };
  const passed = status !== "outlier";
  return judgedTest(
    { test, statistic, critical: critical1Percent, p, passed, verdict: verdicts[status], source },
    { suspect, critical5Percent, critical1Percent, status },
  );
}

function checked(readings: readonly number[], options: OutlierOptions, call: string): string {
  requireKnownOptions(options, { what: true }, call);
  if (!Array.isArray(readings) || readings.length < 3) {
    throw tooFew(Array.isArray(readings) ? readings.length : 0, call);
  }
  const bad = readings.findIndex((value) => !Number.isFinite(value));
  if (bad >= 0) {
    throw new IonbookError(
      "not-a-number",
      `Reading ${bad + 1} is ${String(readings[bad])}: leave a missing reading out`,
    );
  }
  if (readings.every((value) => value === readings[0])) {
    throw new IonbookError(
      "no-scatter",
      "All readings agree to the last digit: there is no scatter to judge by",
    );
  }
  return options.what ?? "readings";
}

function tooFew(n: number, call: string): IonbookError {
  return new IonbookError(
    "too-few-readings",
    `${call} needs at least three repeated readings, there are ${n}: inject again`,
  );
}

import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { studentCdf, studentQuantile } from "../../numeric/distributions.js";
import { weightedFit } from "../response/weighted-fit.js";

/** A check standard injected among the samples. */
export interface CheckReading {
  /** Place in the run: number of the injection, or minutes since the start. */
  readonly position: number;
  readonly response: number;
  /** What was given. */
  readonly concentration: number;
  readonly label?: string;
}

export interface ResponseDriftOptions {
  /** For headings. */
  readonly ion?: string;
  /** Largest change of the response factor over the run that is let pass, %. @default 10 */
  readonly limitPercent?: number;
}

/** How the response factor of check standards moves over a run. */
export interface ResponseDrift {
  readonly kind: "response-drift";
  readonly ion: string | undefined;
  readonly checks: readonly (CheckReading & {
    /** Response over concentration. */
    readonly factor: number;
    /** Against the mean of all, %. */
    readonly deviationPercent: number;
  })[];
  readonly meanFactor: number;
  /** Relative standard deviation of the factors, %. */
  readonly rsdPercent: number;
  /** Change of the factor per unit of position. */
  readonly slope: number;
  readonly standardError: number;
  readonly intercept: number;
  readonly dof: number;
  /** Along the line from first to last check, % of the mean. */
  readonly changePercent: number;
  readonly statistic: number;
  /** |t| at 95 %, two-sided. */
  readonly critical: number;
  readonly p: number;
  readonly limitPercent: number;
  readonly significant: boolean;
  readonly verdict:
    | "steady"
    | "drifts within the limit"
    | "drifted beyond the limit"
    | "scatters beyond the limit";
  readonly source: string;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const SIGNIFICANCE = 0.05;
const LIMIT = 10;
const SOURCE =
  "straight line and t test of its slope (N. R. Draper and H. Smith, from memory); 10 % for a calibration check: US EPA 300.0 (from memory)";

/**
 * Trend of the response factor over the check standards of a run.
 *
 *     f = y/x,   f = a + b·position,   t = b/s(b), n − 2 degrees of freedom
 *
 * "drifts within the limit": t is significant at 95 % and the line changes by no more than `limitPercent` over the run;
 * "drifted beyond the limit": by more; "scatters beyond the limit": no trend, yet some check is off by more.
 *
 * @param checks in any order; concentrations and responses each in one unit
 * @throws IonbookError "too-few-checks" below three, "not-a-number", "bad-concentration", "same-position",
 *   "unknown-option", "bad-option"
 * @source straight line and t: N. R. Draper and H. Smith, Applied Regression Analysis (from memory); 10 %: US EPA 300.0
 *   (from memory)
 */
export function responseDrift(
  checks: readonly CheckReading[],
  options: ResponseDriftOptions = {},
): ResponseDrift {
  requireKnownOptions(options, { ion: true, limitPercent: true }, "responseDrift");
  const { ion, limitPercent = LIMIT } = options;
  if (!(limitPercent > 0 && Number.isFinite(limitPercent))) {
    throw new IonbookError("bad-option", `limitPercent is ${limitPercent}; give a percentage above 0`);
  }
  requireChecks(checks);
  const ordered = [...checks].sort((a, b) => a.position - b.position);
  const x = Float64Array.from(ordered, ({ position }) => position);
  const y = Float64Array.from(ordered, ({ response, concentration }) => response / concentration);
  const n = x.length;
  const ones = new Float64Array(n).fill(1);
  const fit = weightedFit([ones, x], y, ones);
  const dof = n - 2;
  const standardError = Math.sqrt((fit.sumOfSquares / dof) * fit.inverseNormal[3]);
  const meanFactor = y.reduce((sum, factor) => sum + factor, 0) / n;
  const spread = y.reduce((sum, factor) => sum + (factor - meanFactor) ** 2, 0) / (n - 1);
  const [intercept, slope] = fit.coefficients;
  const statistic = slope === 0 ? 0 : slope / standardError;
  const critical = studentQuantile(1 - SIGNIFICANCE / 2, dof);
  const significant = Math.abs(statistic) > critical;
  const changePercent = (100 * slope * (x[n - 1] - x[0])) / meanFactor;
  const judged = ordered.map((check, i) => ({
    ...check,
    factor: y[i],
    deviationPercent: 100 * (y[i] / meanFactor - 1),
  }));
  const worst = Math.max(...judged.map(({ deviationPercent }) => Math.abs(deviationPercent)));
  const drift: ResponseDrift = {
    kind: "response-drift",
    ion,
    checks: judged,
    meanFactor,
    rsdPercent: (100 * Math.sqrt(spread)) / Math.abs(meanFactor),
    slope,
    standardError,
    intercept,
    dof,
    changePercent,
    statistic,
    critical,
    p: 2 * studentCdf(-Math.abs(statistic), dof),
    limitPercent,
    significant,
    verdict: verdictOf(significant, Math.abs(changePercent) > limitPercent, worst > limitPercent),
    source: SOURCE,
    toString: () => driftText(drift),
    [DISPLAY]: () => displayOf(drift),
  };
  return drift;
}

function verdictOf(significant: boolean, large: boolean, scattered: boolean): ResponseDrift["verdict"] {
  if (significant && large) return "drifted beyond the limit";
  if (scattered) return "scatters beyond the limit";
  return significant ? "drifts within the limit" : "steady";
}

/** @throws IonbookError "too-few-checks", "not-a-number", "bad-concentration", "same-position" */
function requireChecks(checks: readonly CheckReading[]): void {
  if (!Array.isArray(checks) || checks.length < 3) {
    throw new IonbookError(
      "too-few-checks",
      `A trend needs three check standards or more: responseDrift([{ position: 5, response: 1.22, concentration: 5 }, …])`,
    );
  }
  checks.forEach((check, i) => {
    requireCheck(check, i);
  });
  if (new Set(checks.map(({ position }) => position)).size > 1) return;
  throw new IonbookError(
    "same-position",
    "All checks stand at one place of the run: there is no trend to see",
  );
}

/** @throws IonbookError "not-a-number", "bad-concentration" */
export function requireCheck(check: CheckReading, i: number): void {
  const { position, response, concentration } = check ?? {};
  if (![position, response, concentration].every(Number.isFinite)) {
    throw new IonbookError(
      "not-a-number",
      `Check ${i + 1} has position ${position}, response ${response}, concentration ${concentration}: all must be numbers`,
    );
  }
  if (concentration > 0 && response > 0) return;
  throw new IonbookError(
    "bad-concentration",
    `Check ${i + 1} has concentration ${concentration} and response ${response}: a check standard holds the ion and shows it`,
  );
}

function driftText({ ion, checks, verdict, changePercent, p, limitPercent }: ResponseDrift): string {
  const of = ion === undefined ? "" : ` of ${ion}`;
  const chance = p < 0.001 ? "p < 0.001" : `p = ${p.toPrecision(2)}`;
  return `response${of} over ${checks.length} checks: ${verdict}; ${changePercent.toFixed(1)} % along the line (${chance}), limit ${limitPercent} %`;
}

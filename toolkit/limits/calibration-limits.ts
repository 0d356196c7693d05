import { calibrate } from "../calibration/curve/calibrate.js";
import type { Calibration, StandardReading } from "../calibration/response/types.js";
import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { studentCdf, studentQuantile } from "../numeric/distributions.js";
import { checkErrorProbability } from "./check-replicates.js";
import { detectionNoncentrality } from "./noncentrality.js";
import { type Shown, shown } from "./shown.js";

export type LimitStandard = "DIN 32645" | "ISO 11843-2" | "Hubaux-Vos";

export interface CalibrationLimitOptions {
  readonly standard: LimitStandard;
  /** Probability of a false positive. @default 0.05 */
  readonly alpha?: number;
  /** Probability of missing the detection limit. @default alpha */
  readonly beta?: number;
  /** Readings averaged for a sample. @default 1 */
  readonly replicates?: number;
  /** Relative half-width that counts as quantified (DIN: 1/k, k = 3). @default 1/3 */
  readonly relativeUncertainty?: number;
}

export interface CalibrationLimits extends Shown {
  readonly kind: "calibration-limits";
  readonly standard: LimitStandard;
  /** Concentration above which presence is declared, with false positives α. */
  readonly criticalValue: number;
  /** Content detected with probability 1 − β. */
  readonly detectionLimit: number;
  /** Content known to the relative half-width asked for; only DIN 32645, and only where the line is good enough. */
  readonly quantificationLimit: number | undefined;
  /** The response that belongs to the critical value. */
  readonly criticalResponse: number;
  readonly dof: number;
  /** What speaks against using these limits; empty when nothing does. */
  readonly doubts: readonly string[];
}

const KNOWN_OPTIONS = {
  standard: true,
  alpha: true,
  beta: true,
  replicates: true,
  relativeUncertainty: true,
} as const;

/**
 * Limits from an unweighted straight calibration line near zero, in the unit of the concentrations (mg/L):
 *
 *     x_C = (s/b)·t(1 − α, ν)·√(1/m + 1/n + x̄²/S_xx)
 *     DIN 32645      x_D = x_C + (s/b)·t(1 − β, ν)·√(same);   x_Q = k·(s/b)·t(1 − α/2, ν)·√(1/m + 1/n + (x_Q − x̄)²/S_xx)
 *     ISO 11843-2    x_D = δ(α, β, ν)·(s/b)·√(same)
 *     Hubaux-Vos     x_D where the lower prediction band meets the critical response
 *
 * s residual standard deviation with ν = n − 2, b slope, m readings averaged per sample, S_xx = Σ(x − x̄)², k =
 * 1/relativeUncertainty. Names are the contract's: what DIN 32645 calls Nachweisgrenze is the critical value here, its
 * Erfassungsgrenze the detection limit. They see the instrument, not the procedure: blanks through the whole
 * procedure usually spread more.
 *
 * Valid for constant scatter between zero and the lowest levels: calibrate over a short range from near zero.
 *
 * @throws IonbookError "unknown-option", "bad-option", "unknown-standard", "bad-level", "bad-replicates", those of `calibrate`
 * @source DIN 32645:2008; ISO 11843-2:2000; A. Hubaux and G. Vos, Anal. Chem. 42 (1970) 849
 */
export function calibrationLimits(
  points: readonly StandardReading[],
  options: CalibrationLimitOptions,
): CalibrationLimits {
  requireKnownOptions(options, KNOWN_OPTIONS, "calibrationLimits");
  const { standard, alpha = 0.05, beta = alpha, replicates = 1, relativeUncertainty = 1 / 3 } = options;
  checkOptions(standard, alpha, beta, replicates, relativeUncertainty);
  const line = calibrate(points);
  const found = limitsOfLine(line, { standard, alpha, beta, replicates, relativeUncertainty });
  const { criticalValue, detectionLimit, quantificationLimit } = found;
  const doubts = doubtsOfLine(line, detectionLimit);
  const quantified = quantificationLimit
    ? `, quantification limit ${quantificationLimit.toPrecision(3)}`
    : "";
  const criticalResponse = line.coefficients[0] + criticalValue * line.coefficients[1];
  return shown(
    { kind: "calibration-limits", standard, ...found, criticalResponse, dof: line.dof, doubts } as const,
    `critical value ${criticalValue.toPrecision(3)}, detection limit ${detectionLimit.toPrecision(3)}${quantified} (${standard})` +
      doubts.map((doubt) => `; doubtful: ${doubt}`).join(""),
  );
}

/** The numbers of `calibrationLimits`. */
export interface LineLimits {
  readonly criticalValue: number;
  readonly detectionLimit: number;
  readonly quantificationLimit: number | undefined;
}

export type LineOptions = Required<CalibrationLimitOptions>;

/**
 * The numbers alone, from a line at hand.
 * @param scatter the readings' distances from the line are taken so many times as large
 * @throws IonbookError "no-finite-limit"
 */
export function limitsOfLine(fitted: Calibration, options: LineOptions, scatter = 1): LineLimits {
  const { standard, alpha, beta, replicates, relativeUncertainty } = options;
  const line = bandOf(fitted, replicates, scatter);
  const tAlpha = studentQuantile(1 - alpha, line.dof);
  const tBeta = studentQuantile(1 - beta, line.dof);
  const atZero = Math.sqrt(line.varianceAtZero) / line.slope;
  const critical = tAlpha * atZero;
  const detection =
    standard === "DIN 32645"
      ? critical + tBeta * atZero
      : standard === "ISO 11843-2"
        ? detectionNoncentrality(alpha, beta, line.dof) * atZero
        : bandMeets(line, tAlpha, tBeta);
  const twoSided = studentQuantile(1 - alpha / 2, line.dof);
  const quantification =
    standard === "DIN 32645" ? relativeLimit(line, twoSided / relativeUncertainty) : undefined;
  return { criticalValue: critical, detectionLimit: detection, quantificationLimit: quantification };
}

interface Band {
  readonly slope: number;
  readonly slopeVariance: number;
  readonly crossVariance: number;
  readonly dof: number;
  /** Variance of (mean of m readings − line) at zero. */
  readonly varianceAtZero: number;
}

function bandOf(line: Calibration, replicates: number, scatter: number): Band {
  const [[v00, v01], [, v11]] = line.classical.covariance;
  const ofReading = line.residualStandardDeviation ** 2 / replicates;
  const factor = scatter * scatter;
  return {
    slope: line.coefficients[1],
    slopeVariance: factor * v11,
    crossVariance: factor * v01,
    dof: line.dof,
    varianceAtZero: factor * (ofReading + v00),
  };
}

/** The larger x with b·x − d = t_β·√(variance at x), d the critical response above the intercept. */
function bandMeets(line: Band, tAlpha: number, tBeta: number): number {
  const d = tAlpha * Math.sqrt(line.varianceAtZero);
  const a = line.slope ** 2 - tBeta ** 2 * line.slopeVariance;
  const half = line.slope * d + tBeta ** 2 * line.crossVariance;
  const c = d * d - tBeta ** 2 * line.varianceAtZero;
  if (!(a > 0)) throw uselessLine();
  return (half + Math.sqrt(Math.max(0, half * half - a * c))) / a;
}

/** The x with x = c·√(variance at x)/b. */
function relativeLimit(line: Band, c: number): number | undefined {
  const a = line.slope ** 2 - c * c * line.slopeVariance;
  if (!(a > 0)) return undefined;
  const half = c * c * line.crossVariance;
  return (half + Math.sqrt(half * half + a * c * c * line.varianceAtZero)) / a;
}

/** What speaks against limits from this line. */
export function doubtsOfLine(line: Calibration, detection: number): readonly string[] {
  const doubts: string[] = [];
  let lowest = Number.POSITIVE_INFINITY;
  for (const { concentration } of line.points)
    if (concentration > 0) lowest = Math.min(lowest, concentration);
  if (lowest > 5 * detection) {
    doubts.push(`the lowest standard (${lowest}) lies more than five detection limits above zero`);
  }
  const { standardErrors } = line.classical;
  const p = 1 - studentCdf(line.coefficients[1] / standardErrors[1], line.dof);
  if (p > 1e-4) doubts.push(`the slope is not clearly above zero (p = ${p.toPrecision(2)})`);
  return doubts;
}

function checkOptions(
  standard: string,
  alpha: number,
  beta: number,
  replicates: number,
  relativeUncertainty: number,
): void {
  if (!["DIN 32645", "ISO 11843-2", "Hubaux-Vos"].includes(standard)) {
    throw new IonbookError(
      "unknown-standard",
      `No limits after "${standard}": choose "DIN 32645", "ISO 11843-2" or "Hubaux-Vos"`,
    );
  }
  checkErrorProbability(alpha, "alpha");
  checkErrorProbability(beta, "beta");
  if (!(Number.isInteger(replicates) && replicates >= 1)) {
    throw new IonbookError("bad-replicates", `replicates is ${replicates}: give a whole number from 1`);
  }
  if (!(relativeUncertainty > 0 && relativeUncertainty < 1)) {
    throw new IonbookError(
      "bad-level",
      `relativeUncertainty is ${relativeUncertainty}: write 0.333 for k = 3`,
    );
  }
}

function uselessLine(): IonbookError {
  return new IonbookError(
    "no-finite-limit",
    "The slope is not known to be above zero, so no content is detected with the probability asked for: add standards",
  );
}

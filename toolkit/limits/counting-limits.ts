import { IonbookError } from "../errors.js";
import { studentQuantile } from "../numeric/distributions.js";
import { checkErrorProbability } from "./check-replicates.js";
import { requireFigures } from "./require-figures.js";
import { type Shown, shown } from "./shown.js";

/** A gross count beside a background count. */
export interface CountingData {
  /** Background counts. */
  readonly backgroundCounts: number;
  /** Counting time of the background, s. */
  readonly backgroundTime: number;
  /** Counting time of the sample, s. */
  readonly grossTime: number;
  /** w: result per count rate. @default 1 (the result is a rate, 1/s) */
  readonly factor?: number | undefined;
  /** Relative standard uncertainty of w. @default 0 */
  readonly relativeUncertainty?: number | undefined;
  /** @default "1/s" */
  readonly unit?: string | undefined;
  /** @default 0.05 */
  readonly alpha?: number | undefined;
  /** @default 0.05 */
  readonly beta?: number | undefined;
}

export interface CountingLimits extends Shown {
  readonly kind: "counting-limits";
  /** y*: a result above it is declared present. */
  readonly decisionThreshold: number;
  /** y#: the content detected with probability 1 − β. */
  readonly detectionLimit: number;
  readonly unit: string;
}

/**
 * Decision threshold and detection limit of a count rate beside its background, in `unit` (1/s, or that of the factor w):
 *
 *     y* = k(1 − α)·w·√(r₀/t_g + r₀/t₀),   r₀ = n₀/t₀
 *     y# = y* + k(1 − β)·u(y#),   u²(y) = w²[(y/w + r₀)/t_g + r₀/t₀] + y²·u_rel²(w)
 *
 * k quantiles of the normal distribution. For α = β this is y# = (2y* + k²w/t_g)/(1 − k²u_rel²).
 *
 * @throws IonbookError "bad-option", "bad-count", "bad-level", "no-finite-limit" where u_rel(w) is too large for any content to be
 *   detected
 * @source ISO 11929-1:2019, simple counting measurement
 */
export function countingLimits(data: CountingData): CountingLimits {
  requireFigures(
    data,
    "countingLimits",
    [],
    "countingLimits({ backgroundCounts: 1980, backgroundTime: 7200, grossTime: 3600 })",
  );
  const { factor: w = 1, relativeUncertainty = 0, unit = "1/s", alpha = 0.05, beta = 0.05 } = data;
  checkErrorProbability(alpha, "alpha");
  checkErrorProbability(beta, "beta");
  checkCounts(data, w, relativeUncertainty);
  const rate = data.backgroundCounts / data.backgroundTime;
  const kBeta = studentQuantile(1 - beta, Infinity);
  const varianceAtZero = w * w * (rate / data.grossTime + rate / data.backgroundTime);
  const decisionThreshold = studentQuantile(1 - alpha, Infinity) * Math.sqrt(varianceAtZero);
  const a = 1 - (kBeta * relativeUncertainty) ** 2;
  if (!(a > 0)) {
    throw new IonbookError(
      "no-finite-limit",
      `The factor is known to ${(100 * relativeUncertainty).toPrecision(2)} % only: no content is detected with ` +
        "the probability asked for. Measure the factor better",
    );
  }
  const half = decisionThreshold + (kBeta * kBeta * w) / data.grossTime / 2;
  const c = decisionThreshold ** 2 - kBeta * kBeta * varianceAtZero;
  const detectionLimit = (half + Math.sqrt(Math.max(0, half * half - a * c))) / a;
  return shown(
    { kind: "counting-limits", decisionThreshold, detectionLimit, unit } as const,
    `decision threshold ${decisionThreshold.toPrecision(3)} ${unit}, detection limit ${detectionLimit.toPrecision(3)} ${unit} (ISO 11929-1)`,
  );
}

function checkCounts(data: CountingData, w: number, relativeUncertainty: number): void {
  const { backgroundCounts, backgroundTime, grossTime } = data;
  const bad = [
    ["backgroundCounts", backgroundCounts],
    ["backgroundTime", backgroundTime],
    ["grossTime", grossTime],
    ["factor", w],
  ] as const;
  const wrong = bad.find(([, value]) => !(value > 0 && value < Infinity));
  if (wrong === undefined && relativeUncertainty >= 0 && relativeUncertainty < Infinity) return;
  const [name, value] = wrong ?? ["relativeUncertainty", relativeUncertainty];
  throw new IonbookError(
    "bad-count",
    `${name} is ${value}: counts, times (s) and the factor lie above zero, its uncertainty not below`,
  );
}

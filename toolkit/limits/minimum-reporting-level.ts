import { IonbookError } from "../errors.js";
import { studentQuantile } from "../numeric/distributions.js";
import { checkReplicates, meanOf, standardDeviationOf } from "./check-replicates.js";
import { requireFigures } from "./require-figures.js";
import { type Shown, shown } from "./shown.js";

export interface MinimumReportingLevel extends Shown {
  readonly kind: "minimum-reporting-level";
  readonly fortified: number;
  /** 100·(x̄ − HR)/level; must be at least 50. */
  readonly lowerPercent: number;
  /** 100·(x̄ + HR)/level; must be at most 150. */
  readonly upperPercent: number;
  readonly confirmed: boolean;
  /** HR, half the range of the prediction interval, in the unit of the data. */
  readonly halfRange: number;
  readonly mean: number;
  readonly standardDeviation: number;
}

const LOWEST_PERCENT = 50;
const HIGHEST_PERCENT = 150;
/** The protocol's constant for seven replicates. */
const FACTOR_FOR_SEVEN = 3.963;

/**
 * Whether a proposed reporting level holds: the 99 % prediction interval of one more result, from at least seven
 * replicates fortified at that level, must lie within 50 to 150 % of it.
 *
 *     HR = t(0.995, n − 1)·s·√(1 + 1/n)
 *     confirmed: 50 % ≤ 100·(x̄ − HR)/level and 100·(x̄ + HR)/level ≤ 150 %
 *
 * For n = 7 the factor is 3.963, as the protocol prints it (3.9634 unrounded). `fortified` and `found` in one unit
 * (mg/L).
 *
 * @throws IonbookError "bad-option", "too-few-replicates", "not-a-number", "negative-concentration"
 * @source US EPA 815-R-05-006 (2004), validation of performance at or below the minimum reporting level
 */
export function minimumReportingLevel(data: {
  readonly fortified: number;
  readonly found: readonly number[];
}): MinimumReportingLevel {
  requireFigures(
    data,
    "minimumReportingLevel",
    [],
    "minimumReportingLevel({ fortified: 0.02, found: [0.0218, 0.0197, …] })",
  );
  const { fortified, found } = data;
  if (!Array.isArray(found)) {
    throw new IonbookError(
      "too-few-replicates",
      "minimumReportingLevel takes what was found as a list: found: [0.0218, 0.0197, …], seven at least",
    );
  }
  if (!(fortified > 0 && fortified < Infinity)) {
    throw new IonbookError(
      "negative-concentration",
      `The fortified level is ${fortified}: a reporting level lies above zero`,
    );
  }
  checkReplicates(found, "replicates at the reporting level");
  const n = found.length;
  const mean = meanOf(found);
  const standardDeviation = standardDeviationOf(found);
  const factor = n === 7 ? FACTOR_FOR_SEVEN : studentQuantile(0.995, n - 1) * Math.sqrt(1 + 1 / n);
  const halfRange = factor * standardDeviation;
  const lowerPercent = (100 * (mean - halfRange)) / fortified;
  const upperPercent = (100 * (mean + halfRange)) / fortified;
  const confirmed = lowerPercent >= LOWEST_PERCENT && upperPercent <= HIGHEST_PERCENT;
  return shown(
    {
      kind: "minimum-reporting-level",
      fortified,
      lowerPercent,
      upperPercent,
      confirmed,
      halfRange,
      mean,
      standardDeviation,
    } as const,
    `reporting level ${fortified} ${confirmed ? "confirmed" : "not confirmed"}: one more result would lie within ` +
      `${lowerPercent.toFixed(0)} to ${upperPercent.toFixed(0)} % of it (99 %)`,
  );
}

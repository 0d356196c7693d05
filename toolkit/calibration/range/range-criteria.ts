import { IonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { RangeCriteria, RangeReading, ResolvedCriteria } from "./range-types.js";

const KNOWN: Readonly<Record<keyof RangeCriteria, true>> = {
  responseFactorPercent: true,
  retentionShiftPercent: true,
  tailingChangePercent: true,
  widthChangePercent: true,
  relevantPercent: true,
  significance: true,
  minimumLevels: true,
  quantificationLimit: true,
  weighting: true,
  ion: true,
  unit: true,
};

/**
 * Criteria with their defaults, checked.
 * @throws IonbookError "unknown-option", "bad-option", "unknown-weighting", "unknown-ion"
 */
export function resolveCriteria(criteria: RangeCriteria): ResolvedCriteria {
  requireKnownOptions(criteria, KNOWN, "validateLinearRange");
  const { weighting = "1/x^2", quantificationLimit } = criteria;
  if (!["none", "1/x", "1/x^2"].includes(weighting)) {
    throw new IonbookError(
      "unknown-weighting",
      `There is no weighting "${String(weighting)}" for a range study: choose "none", "1/x" or "1/x^2"`,
    );
  }
  const resolved = {
    responseFactorPercent: 5,
    retentionShiftPercent: 2,
    tailingChangePercent: 20,
    widthChangePercent: 10,
    relevantPercent: 2,
    significance: 0.05,
    minimumLevels: 5,
    unit: "mg/L",
    ...given(criteria),
    quantificationLimit,
    weighting,
    ion: criteria.ion === undefined ? undefined : ion(criteria.ion).name,
  };
  const { ion: _, unit: __, weighting: ___, ...numbers } = resolved;
  for (const [name, value] of Object.entries(numbers)) {
    if (value === undefined || (typeof value === "number" && value > 0 && value < Infinity)) continue;
    throw new IonbookError(
      "bad-option",
      `validateLinearRange: ${name} is ${String(value)}; give a number above zero`,
    );
  }
  if (resolved.significance < 1) return resolved;
  throw new IonbookError(
    "bad-option",
    `validateLinearRange: significance is ${resolved.significance}; write 0.05 for 5 %`,
  );
}

/** The criteria that were given a value. */
function given(criteria: RangeCriteria): { [K in keyof RangeCriteria]: NonNullable<RangeCriteria[K]> } {
  return Object.fromEntries(Object.entries(criteria).filter(([, value]) => value !== undefined));
}

/**
 * Refuses what is no list of readings, and peak figures that cannot be.
 * @throws IonbookError "bad-points", "bad-peak-figure"
 */
export function requireRangeReadings(points: unknown): asserts points is readonly RangeReading[] {
  if (!Array.isArray(points) || points.some((point) => typeof point !== "object" || point === null)) {
    throw new IonbookError(
      "bad-points",
      "validateLinearRange needs one list of readings: validateLinearRange([{ concentration: 0.5, response: 0.12, retentionTime: 4.1 }, …])",
    );
  }
  points.forEach((point: RangeReading, i) => {
    const what = point.label ?? `point ${i + 1}`;
    for (const figure of ["retentionTime", "tailing", "widthHalf"] as const) {
      const value = point[figure];
      if (value === undefined || (value > 0 && value < Infinity)) continue;
      throw new IonbookError(
        "bad-peak-figure",
        `${what} has ${figure} ${String(value)}: give a number above zero, or leave it out`,
      );
    }
    const { direction } = point;
    if (direction !== undefined && direction !== "ascending" && direction !== "descending") {
      throw new IonbookError(
        "bad-option",
        `${what} has direction "${String(direction)}": write "ascending" or "descending"`,
      );
    }
  });
}

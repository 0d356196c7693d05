import { IonbookError } from "../../errors.js";
import type { ResponseModel } from "./response-models.js";
import type { RejectedReading, StandardReading } from "./types.js";

/** The readings that count and those that are left out with a reason. */
export interface SortedReadings {
  readonly used: readonly StandardReading[];
  readonly rejected: readonly StandardReading[];
}

/**
 * Divides readings by their `rejected`.
 * @throws IonbookError "no-reason" where a reading is left out without one
 */
export function sortReadings(points: readonly StandardReading[]): SortedReadings {
  points.forEach(({ rejected, label }, i) => {
    if (rejected === undefined) return;
    if (typeof rejected === "string" && rejected.trim() !== "") return;
    throw new IonbookError(
      "no-reason",
      `${label ?? `point ${i + 1}`} is to be left out without a reason: write what happened, as in rejected: "air bubble in the loop"`,
    );
  });
  return {
    used: points.filter(({ rejected }) => rejected === undefined),
    rejected: points.filter(({ rejected }) => rejected !== undefined),
  };
}

/** What the curve says of readings that did not count. */
export function readRejected(
  rejected: readonly StandardReading[],
  model: ResponseModel,
  coefficients: Float64Array,
): readonly RejectedReading[] {
  return rejected.map((point) => {
    const { concentration, response } = point;
    const found = model.find(coefficients, response);
    const relativeErrorPercent =
      concentration > 0 ? (100 * (found - concentration)) / concentration : Number.NaN;
    return { point, concentration, response, reason: point.rejected as string, found, relativeErrorPercent };
  });
}

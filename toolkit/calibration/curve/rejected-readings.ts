import { IonbookError } from "../../errors.js";
import type { ResponseModel } from "../response/response-models.js";
import type { RejectedReading, StandardReading } from "../response/types.js";
import { relativeErrorPercent } from "./back-calculated.js";

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
  if (points.every(({ rejected }) => rejected === undefined)) return { used: points.slice(), rejected: [] };
  const used: StandardReading[] = [];
  const rejected: StandardReading[] = [];
  for (let i = 0; i < points.length; i++) {
    const point = points[i];
    if (point.rejected === undefined) used.push(point);
    else {
      requireReason(point, i);
      rejected.push(point);
    }
  }
  return { used, rejected };
}

function requireReason({ rejected, label }: StandardReading, index: number): void {
  if (typeof rejected === "string" && rejected.trim() !== "") return;
  throw new IonbookError(
    "no-reason",
    `${label ?? `point ${index + 1}`} is to be left out without a reason: write what happened, as in rejected: "air bubble in the loop"`,
  );
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
    const reason = point.rejected as string;
    const error = relativeErrorPercent(concentration, found);
    return { point, concentration, response, reason, found, relativeErrorPercent: error };
  });
}

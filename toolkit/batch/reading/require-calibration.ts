import { join } from "node:path";
import { IonbookError } from "../../errors.js";
import type { Batch } from "../types.js";

/**
 * Refuses a batch that cannot give concentrations: one without any calibration injection, or in which an ion of
 * the method occurs in no calibration solution above zero. Such a batch may be opened and looked at.
 *
 * @throws IonbookError `no-calibration`
 */
export function requireCalibration(batch: Batch): void {
  const standards = new Set(
    batch.injections
      .filter((injection) => injection.kind === "calibration")
      .map((injection) => injection.solution),
  );
  const where = { file: join(batch.folder, "worksheet.csv"), column: "kind" };
  if (standards.size === 0) {
    throw new IonbookError(
      "no-calibration",
      "no injection is of the kind calibration: list the standards that were run with this batch",
      where,
    );
  }
  const calibrated = new Set(
    batch.solutions
      .filter((entry) => standards.has(entry.solution) && entry.concentration > 0)
      .map((entry) => entry.ion),
  );
  const without = batch.method.ions.map((entry) => entry.ion).filter((name) => !calibrated.has(name));
  if (without.length === 0) return;
  throw new IonbookError(
    "no-calibration",
    `no calibration solution contains ${without.join(", ")}: add rows to solutions.csv, or move ` +
      `${without.length === 1 ? "it" : "them"} from "ions" to "notMeasured" in batch.json`,
    { file: join(batch.folder, "solutions.csv"), column: "ion" },
  );
}

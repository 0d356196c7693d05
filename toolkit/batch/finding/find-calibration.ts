import { IonbookError } from "../../errors.js";
import type { IonCalibration, Results } from "../types.js";
import { findIon } from "./find-ion.js";
import { quotedList } from "./find-name.js";

/**
 * The calibration of an ion.
 *
 * @throws IonbookError "unknown-ion", "not-measured", "not-calibrated"
 */
export function findCalibration(results: Results, wanted: string): IonCalibration {
  const ion = findIon(results, wanted);
  const found = results.calibrations.find((each) => each.ion === ion);
  if (found !== undefined) return found;
  const names = results.calibrations.map((each) => each.ion);
  throw new IonbookError(
    "not-calibrated",
    `${ion} has no calibration here: too few standards show it, or the method leaves it out. Calibrated are ${quotedList(names, "and", 20)}`,
  );
}

import { IonbookError } from "../../errors.js";

/**
 * Refuses what no `calibrate` returned.
 * @param call name of the public function, for the message
 * @throws IonbookError "bad-calibration"
 */
export function requireCalibration(value: unknown, call: string): void {
  if (typeof value === "object" && value !== null && "kind" in value && value.kind === "calibration") return;
  const found = value === null ? "null" : Array.isArray(value) ? "a list" : typeof value;
  throw new IonbookError(
    "bad-calibration",
    `${call} needs a calibration, not ${found === "undefined" ? "nothing" : found}: const curve = calibrate([{ concentration, response }, …])`,
  );
}

import { IonbookError } from "../errors.js";

/**
 * Refuses what is no chromatogram: an array of readings, or a promise of one.
 *
 * @param call name of the public function, for the message
 * @throws IonbookError "not-a-chromatogram"
 */
export function requireChromatogram(given: unknown, call: string): void {
  if (typeof given === "object" && given !== null && "time" in given && "signal" in given) return;
  const advice =
    given instanceof Promise
      ? `it is still being read: put await before readChromatogram, ${call}(await readChromatogram(file))`
      : `make one of the readings, ${call}(makeChromatogram({ id: "A001", time, signal })), time in min`;
  throw new IonbookError("not-a-chromatogram", `${call} needs a chromatogram: ${advice}`);
}

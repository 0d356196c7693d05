import { IonbookError } from "../errors.js";
import type { Chromatogram } from "./chromatogram.js";

/**
 * Refuses what is no chromatogram: an array of readings, a promise of one, or a record whose readings cannot be worked
 * with. O(n).
 *
 * @param call name of the public function, for the message
 * @throws IonbookError "not-a-chromatogram", or as `requireReadings`
 */
export function requireChromatogram(given: unknown, call: string): void {
  if (typeof given === "object" && given !== null && "time" in given && "signal" in given) {
    const { id, time, signal } = given as Chromatogram;
    requireReadings(id, time, signal);
    return;
  }
  const advice =
    given instanceof Promise
      ? `it is still being read: put await before readChromatogram, ${call}(await readChromatogram(file))`
      : `make one of the readings, ${call}(makeChromatogram({ id: "A001", time, signal })), time in min`;
  throw new IonbookError("not-a-chromatogram", `${call} needs a chromatogram: ${advice}`);
}

/**
 * Refuses readings that are no trace: as many signals as times, at least two, all finite, time increasing. O(n).
 *
 * @throws IonbookError "length-mismatch", "too-few-points", "not-finite", "time-not-increasing"
 */
export function requireReadings(id: string, time: Float64Array, signal: Float64Array): void {
  const n = time.length;
  if (signal.length !== n) {
    throw new IonbookError(
      "length-mismatch",
      `chromatogram "${id}" has ${n} times and ${signal.length} signals: give one signal for each time`,
    );
  }
  if (n < 2) {
    throw new IonbookError(
      "too-few-points",
      `chromatogram "${id}" has ${n} point${n === 1 ? "" : "s"}: a trace needs at least two`,
    );
  }
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(time[i]) || !Number.isFinite(signal[i])) {
      throw new IonbookError(
        "not-finite",
        `point ${i + 1} of chromatogram "${id}" is (${time[i]}, ${signal[i]}): leave out points without a reading`,
      );
    }
    if (i > 0 && !(time[i] > time[i - 1])) {
      throw new IonbookError(
        "time-not-increasing",
        `time of chromatogram "${id}" goes from ${time[i - 1]} to ${time[i]} min at point ${i + 1}: ` +
          "sort the points by time and keep one reading for each",
      );
    }
  }
}

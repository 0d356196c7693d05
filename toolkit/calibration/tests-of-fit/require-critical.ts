import { IonbookError } from "../../errors.js";

/**
 * Refuses what no critical value exists for.
 *
 * @param alpha significance level
 * @param counts name, value and bounds of each whole number
 * @throws IonbookError "bad-level" unless 0 < α < 1, "too-few-readings", "too-many-readings", "not-a-number"
 */
export function requireCritical(
  call: string,
  alpha: number,
  counts: readonly (readonly [name: string, value: number, least: number, most?: number])[],
): void {
  if (!(alpha > 0 && alpha < 1)) {
    throw new IonbookError(
      "bad-level",
      `${call}: α is ${alpha}: give a number between 0 and 1, such as 0.05`,
    );
  }
  for (const [name, value, least, most = Number.POSITIVE_INFINITY] of counts) {
    if (!Number.isInteger(value)) {
      throw new IonbookError("not-a-number", `${call}: ${name} is ${value}: give a whole number`);
    }
    if (value < least) {
      throw new IonbookError("too-few-readings", `${call}: ${name} is ${value}: it takes ${least} or more`);
    }
    if (value > most) {
      throw new IonbookError("too-many-readings", `${call}: ${name} is ${value}: it takes ${most} or fewer`);
    }
  }
}

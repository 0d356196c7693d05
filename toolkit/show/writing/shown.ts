import { IonbookError } from "../../errors.js";
import { quantity, significant } from "../text/numbers.js";

/**
 * A plain number as text that can stand in a sentence: rounded to significant digits, a real minus sign, its unit
 * behind a narrow space that does not break: `shown(0.03124, "mg/L", 2)` is "0.031 mg/L".
 *
 * @param unit as written behind the number; "1" and "" leave it without one
 * @param digits significant digits. @default 3
 * @throws IonbookError "not-a-number" for NaN and infinities; "bad-digits" unless digits is a whole number from 1 to 15
 */
export function shown(value: number, unit: string, digits = 3): string {
  if (typeof value !== "number" || !Number.isFinite(value)) {
    throw new IonbookError(
      "not-a-number",
      `${String(value)} cannot be shown as a number with the unit "${unit}": look at what it was computed from`,
    );
  }
  if (!Number.isInteger(digits) || digits < 1 || digits > 15) {
    throw new IonbookError("bad-digits", `digits is ${digits}; give the significant digits, 1 to 15`);
  }
  return quantity(significant(value, digits), unit);
}

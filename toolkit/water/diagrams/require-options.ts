import { IonbookError } from "../../errors.js";

/** @throws IonbookError "bad-option" unless 0 < level < 1 */
export function requireLevel(level: number, call: string): void {
  if (typeof level === "number" && level > 0 && level < 1) return;
  throw new IonbookError(
    "bad-option",
    `level of ${call} is the probability that an interval covers, between 0 and 1 such as 0.95, not ${String(level)}`,
  );
}

/** @throws IonbookError "bad-option" unless the value is left out or one of the known words */
export function requireOneOf(value: unknown, known: readonly string[], option: string, call: string): void {
  if (value === undefined || known.includes(value as string)) return;
  const words = known.map((word) => `"${word}"`).join(" or ");
  throw new IonbookError("bad-option", `${option} of ${call} is ${words}, not ${JSON.stringify(value)}`);
}

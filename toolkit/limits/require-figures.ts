import { IonbookError } from "../errors.js";

/**
 * Refuses what is no object, or lacks a number that is needed of it.
 *
 * @param written how its call is written
 * @throws IonbookError "bad-option"
 */
export function requireFigures(
  value: unknown,
  call: string,
  names: readonly string[],
  written: string,
): void {
  const there = typeof value === "object" && value !== null;
  const missing = there
    ? names.find((name) => !isNumber((value as Record<string, unknown>)[name]))
    : undefined;
  if (there && missing === undefined) return;
  const what = there ? `lacks a number for ${String(missing)}` : `does not take ${String(value)}`;
  throw new IonbookError("bad-option", `${call} ${what}: ${written}`);
}

function isNumber(value: unknown): boolean {
  return typeof value === "number" && !Number.isNaN(value);
}

/** @throws IonbookError "bad-option" for what is no measured value */
export function requireMeasured(value: unknown, call: string, written: string): void {
  if (
    typeof value === "object" &&
    value !== null &&
    "interval" in value &&
    typeof value.interval === "function"
  )
    return;
  throw new IonbookError("bad-option", `${call} takes a measured value, not ${String(value)}: ${written}`);
}

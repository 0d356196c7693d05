import { IonbookError } from "../errors.js";

/** @throws IonbookError "out-of-domain" unless `p` lies in [0, 1]. */
export function requireProbability(p: number, what: string): void {
  if (!(p >= 0 && p <= 1)) {
    throw new IonbookError("out-of-domain", `${what} needs a probability from 0 to 1, not ${p}`);
  }
}

/** @throws IonbookError "out-of-domain" unless `value` is above zero (Infinity allowed). */
export function requirePositive(value: number, name: string, what: string): void {
  if (!(value > 0)) {
    throw new IonbookError("out-of-domain", `${what} needs ${name} above zero, not ${value}`);
  }
}

/** @throws IonbookError "out-of-domain" when `value` is NaN. */
export function requireNumber(value: number, name: string, what: string): void {
  if (Number.isNaN(value))
    throw new IonbookError("out-of-domain", `${what} needs a number for ${name}, not NaN`);
}

import { IonbookError } from "../errors.js";

/** Fewest whole-procedure replicates of the US water rules (40 CFR 136 App. B; EPA 815-R-05-006). */
const FEWEST = 7;

/**
 * @throws IonbookError "too-few-replicates" below seven, "not-a-number" for a reading that is none
 */
export function checkReplicates(values: readonly number[], what: string, fewest = FEWEST): void {
  if (values.length < fewest) {
    throw new IonbookError(
      "too-few-replicates",
      `The rule needs at least ${fewest} ${what}, there are ${values.length}: prepare and measure more`,
    );
  }
  const bad = values.findIndex((value) => !Number.isFinite(value));
  if (bad >= 0) {
    throw new IonbookError(
      "not-a-number",
      `Reading ${bad + 1} of the ${what} is ${values[bad]}, not a number`,
    );
  }
}

export function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** √[Σ(x − x̄)²/(n − 1)] */
export function standardDeviationOf(values: readonly number[]): number {
  const mean = meanOf(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
}

/** @throws IonbookError "bad-level" unless 0 < value < 0.5 */
export function checkErrorProbability(value: number, name: string): void {
  if (!(value > 0 && value < 0.5)) {
    throw new IonbookError(
      "bad-level",
      `${name} is ${value}: give a probability between 0 and 0.5, usually 0.05`,
    );
  }
}

import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { studentQuantile } from "../numeric/distributions.js";
import type { BlankWatchData } from "./blank-watch-types.js";
import { meanOf, standardDeviationOf } from "./check-replicates.js";

const KNOWN_DATA: Readonly<Record<keyof BlankWatchData, true>> = {
  unit: true,
  ion: true,
  blanks: true,
  at: true,
  earlier: true,
  own: true,
  criticalValue: true,
  definition: true,
  lowStandards: true,
};
/** Fewer earlier values than this say too little of their spread. */
const FEWEST = 4;

/** Checked data. */
export interface WatchedBlanks {
  readonly unit: string;
  readonly earlier: readonly number[];
  readonly own: boolean;
  readonly values: readonly number[];
  readonly at: readonly number[];
  readonly criticalValue: number;
  readonly definition: string;
  /** n₀ where the critical value is at least that of Currie from the earlier blanks. */
  readonly estimatedFrom: number | undefined;
  readonly lowStandards: BlankWatchData["lowStandards"];
}

/**
 * @throws IonbookError "unknown-option", "bad-option", "not-a-number", "too-few-replicates", "no-scatter"
 */
export function readWatchedBlanks(data: BlankWatchData, alpha: number): WatchedBlanks {
  requireKnownOptions(data, KNOWN_DATA, "watchBlanks");
  const { unit = "mg/L", own = false, lowStandards } = data;
  requireList(data.blanks, "blanks", true);
  const earlier = data.earlier ?? [];
  if (data.earlier !== undefined) requireScatter(data.earlier, "earlier");
  if (own && earlier.length > 0) {
    throw new IonbookError(
      "bad-option",
      "watchBlanks takes earlier blanks, or own: true where the limits rest on the new ones themselves, not both",
    );
  }
  if (lowStandards !== undefined) {
    requireScatter(lowStandards?.earlier, "lowStandards.earlier");
    requireList(lowStandards.later, "lowStandards.later", false);
  }
  const places = placesOf(data);
  const kept = data.blanks.flatMap((value, i) => (value === null ? [] : [{ value, at: places[i] }]));
  const usual = earlier.length > 0 ? currieOf(earlier, alpha) : undefined;
  const criticalValue = data.criticalValue ?? usual;
  if (criticalValue === undefined || !Number.isFinite(criticalValue)) {
    throw new IonbookError(
      "bad-option",
      `watchBlanks holds blanks against ${String(criticalValue)}: give earlier blanks, or the criticalValue in force, as in watchBlanks({ blanks: [0.0012, …], earlier: [0.0021, …] })`,
    );
  }
  const estimated = usual !== undefined && criticalValue >= usual * (1 - 1e-9);
  return {
    unit,
    earlier,
    own,
    values: kept.map(({ value }) => value),
    at: kept.map(({ at }) => at),
    criticalValue,
    definition:
      data.definition ?? (data.criticalValue === undefined ? `Currie, ${earlier.length} blanks` : "stated"),
    estimatedFrom: estimated ? earlier.length : undefined,
    lowStandards,
  };
}

function currieOf(blanks: readonly number[], alpha: number): number {
  const n = blanks.length;
  return (
    meanOf(blanks) + studentQuantile(1 - alpha, n - 1) * standardDeviationOf(blanks) * Math.sqrt(1 + 1 / n)
  );
}

function requireList(
  values: unknown,
  name: string,
  gaps: boolean,
): asserts values is readonly (number | null)[] {
  if (!Array.isArray(values)) {
    throw new IonbookError(
      "bad-option",
      `watchBlanks takes ${name} as a list of numbers, as in ${name}: [0.0021, -0.0004, …], not ${String(values)}`,
    );
  }
  const bad = values.findIndex((value) => !(Number.isFinite(value) || (gaps && value === null)));
  if (bad < 0) return;
  throw new IonbookError(
    "not-a-number",
    `${name}, value ${bad + 1}, is ${String(values[bad])}: give its number${gaps ? ", or null where it gave none" : ""}`,
  );
}

function requireScatter(values: unknown, name: string): asserts values is readonly number[] {
  requireList(values, name, false);
  if (values.length < FEWEST) {
    throw new IonbookError(
      "too-few-replicates",
      `watchBlanks needs at least ${FEWEST} values under ${name}, there are ${values.length}: fewer say too little of their scatter`,
    );
  }
  if (standardDeviationOf(values as readonly number[]) > 0) return;
  throw new IonbookError(
    "no-scatter",
    `All values under ${name} agree to the last digit, so nothing can be held against them: take areas over a fixed window`,
  );
}

function placesOf({ at, blanks }: BlankWatchData): readonly number[] {
  if (at === undefined) return blanks.map((_, i) => i + 1);
  requireList(at, "at", false);
  const rising = at.every((place, i) => i === 0 || place > at[i - 1]);
  if (at.length === blanks.length && rising) return at;
  throw new IonbookError(
    "bad-option",
    `watchBlanks needs under at one place in the sequence for each of the ${blanks.length} blanks, in rising order; there are ${at.length}`,
  );
}

import { IonbookError } from "../errors.js";
import { combineLinear, exactly, type MeasuredValue, over, plus } from "../uncertainty/measured.js";
import { requireFigures, requireMeasured } from "./require-figures.js";

/** What a sum needs of a result; rows of an evaluation have it. */
export interface BoundedResult {
  /** The raw value, kept below the critical value too; undefined where nothing was measured. */
  readonly value: MeasuredValue | undefined;
  readonly unit: string;
  /** "not detected" makes it a bound. */
  readonly status: string;
  /** In the unit of the value. */
  readonly detectionLimit: number | undefined;
}

/** One term of a sum. */
export interface SumTerm {
  readonly result: BoundedResult;
  /** What it is multiplied with, such as N/NO₃. @default 1 */
  readonly factor?: number | undefined;
}

/** A sum that does not hide what was not detected. */
export interface BoundedSum {
  /** What was not detected counted as zero. */
  readonly lower: MeasuredValue;
  /** What was not detected counted at its detection limit. */
  readonly upper: MeasuredValue;
  /** Of the raw values, whatever their status. */
  readonly raw: MeasuredValue;
  readonly notDetected: number;
}

/**
 * A sum of results (total N, total anions) with both bounds and the raw sum; nothing is substituted silently, and shared
 * sources stay correlated. A rule that a permit names may take either bound.
 *
 * @param unit of the sum, where the factors change it. @default that of the results
 * @throws IonbookError "no-terms", "not-measured", "no-limit", "unit-mismatch", "bad-factor", "bad-option"
 * @source common practice, no source
 */
export function sumWithBounds(terms: readonly SumTerm[], unit?: string): BoundedSum {
  if (!Array.isArray(terms) || terms.length === 0) {
    throw new IonbookError("no-terms", "A sum needs terms: sumWithBounds([{ result, factor: 0.2259 }, …])");
  }
  for (const term of terms) requireResult(term?.result);
  const parts = terms.map(({ result, factor = 1 }, i) => termOf(result, factor, i));
  const other = terms.find(({ result }) => result.unit !== terms[0].result.unit);
  if (other) {
    throw new IonbookError(
      "unit-mismatch",
      `The terms are in ${terms[0].result.unit} and ${other.result.unit}: bring them to one unit first`,
    );
  }
  const sumUnit = unit ?? terms[0].result.unit;
  const sumOf = (of: typeof parts) =>
    of.length === 0
      ? exactly(0, sumUnit)
      : combineLinear(
          of.map(({ value, factor }) => ({ value, factor })),
          sumUnit,
        );
  const lower = sumOf(parts.filter(({ bound }) => bound === undefined));
  const bounds = parts.reduce((sum, { bound = 0, factor }) => sum + factor * bound, 0);
  return {
    lower,
    upper: plus(lower, exactly(bounds, sumUnit)),
    raw: sumOf(parts),
    notDetected: parts.filter(({ bound }) => bound !== undefined).length,
  };
}

/** A ratio, or the bound that is left of it where the denominator was not detected. */
export interface BoundedRatio {
  /** "3.2 ± 0.4", "> 12" */
  readonly text: string;
  readonly ratio: MeasuredValue | undefined;
  /** The numerator over the denominator's detection limit; undefined where both were detected. */
  readonly above: number | undefined;
}

/**
 * A ratio of two results; with a denominator that was not detected it is only known to lie above numerator/x_D.
 *
 * @throws IonbookError "not-measured", "no-limit", "unit-mismatch", "bad-option", "no-ratio" where the numerator was not detected either
 * @source common practice, no source
 */
export function ratioWithBounds(numerator: BoundedResult, denominator: BoundedResult): BoundedRatio {
  requireResult(numerator);
  requireResult(denominator);
  const [above, below] = [termOf(numerator, 1, 0), termOf(denominator, 1, 1)];
  if (numerator.unit !== denominator.unit) {
    throw new IonbookError(
      "unit-mismatch",
      `The results are in ${numerator.unit} and ${denominator.unit}: bring them to one unit first`,
    );
  }
  if (below.bound === undefined) {
    const ratio = over(above.value, below.value);
    return { text: String(ratio), ratio, above: undefined };
  }
  if (above.bound !== undefined) {
    throw new IonbookError("no-ratio", "Neither result was detected, so nothing is known of their ratio");
  }
  const bound = above.value.value / below.bound;
  return { text: `> ${bound.toPrecision(2)}`, ratio: undefined, above: bound };
}

function requireResult(result: unknown): void {
  requireFigures(
    result,
    "A sum or ratio",
    [],
    "its terms are results, as quantify gives them: sumWithBounds([{ result, factor: 0.2259 }, …])",
  );
  const { value } = result as BoundedResult;
  if (value !== undefined)
    requireMeasured(value, "A sum or ratio", "results hold their value with its uncertainty");
}

function termOf({ value, status, detectionLimit }: BoundedResult, factor: number, i: number) {
  if (!(factor > 0 && factor < Infinity))
    throw new IonbookError(
      "bad-factor",
      `The factor of term ${i + 1} is ${String(factor)}: give one above zero`,
    );
  if (value === undefined)
    throw new IonbookError(
      "not-measured",
      `Term ${i + 1} was not measured: a sum without it would be too small`,
    );
  if (status !== "not detected") return { value, factor, bound: undefined };
  if (detectionLimit === undefined)
    throw new IonbookError(
      "no-limit",
      `Term ${i + 1} was not detected and has no detection limit to bound it`,
    );
  return { value, factor, bound: detectionLimit };
}

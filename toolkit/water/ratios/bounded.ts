import { exactly, type MeasuredValue, propagate } from "../../uncertainty/measured.js";

/** A quantity that was measured, or of which only a limit is known: it lies between 0 and `below`. */
export type Term = MeasuredValue | { readonly below: number };

/**
 * A figure that is a number where all its terms were measured, and bounds where one lies below a limit: never a limit put in
 * its place.
 */
export interface BoundedFigure {
  /** Undefined where a term lies below a limit. */
  readonly value: MeasuredValue | undefined;
  /** Lowest value that is possible; undefined where the value is a number, or where nothing bounds it below. */
  readonly low: MeasuredValue | undefined;
  readonly high: MeasuredValue | undefined;
}

/** A figure as a function of its terms. */
export interface FigureModel {
  readonly of: (terms: Readonly<Record<string, number>>) => number;
  /** Terms with which the figure falls; it rises with all others. */
  readonly falling: readonly string[];
  readonly unit: string;
}

/** True for a term of which only a limit is known. */
export function isBelow(term: Term): term is { readonly below: number } {
  return "below" in term;
}

/**
 * The figure, with all correlations of its terms, or its bounds: each term below a limit is set to 0 and to its limit, at the
 * ends where the figure is lowest and highest. Undefined where the figure has no finite value at all.
 *
 * @source JCGM 100:2008 (GUM), 5.2; bounds: a figure that rises or falls with each term is extreme at the ends (derived)
 */
export function boundedFigure(
  model: FigureModel,
  terms: Readonly<Record<string, Term>>,
): BoundedFigure | undefined {
  const censored = Object.values(terms).some(isBelow);
  const at = (end: "low" | "high"): MeasuredValue | undefined => {
    const inputs = Object.fromEntries(
      Object.entries(terms).map(([name, term]) => {
        if (!isBelow(term)) return [name, term];
        const high = (end === "high") !== model.falling.includes(name);
        return [name, exactly(high ? term.below : 0, "mg/L")];
      }),
    );
    const numbers = Object.fromEntries(Object.entries(inputs).map(([name, { value }]) => [name, value]));
    return Number.isFinite(model.of(numbers)) ? propagate(model.of, inputs, model.unit) : undefined;
  };
  const high = at("high");
  if (!censored) return high && { value: high, low: undefined, high: undefined };
  const low = at("low");
  return low === undefined && high === undefined ? undefined : { value: undefined, low, high };
}

/** "≤ 0.3", "≥ 120", "1.2 to 1.4" or the value; bounds that print alike are printed once. */
export function boundedText(figure: BoundedFigure, inWords: (value: MeasuredValue) => string): string {
  const { value, low, high } = figure;
  if (value !== undefined) return inWords(value);
  if (low === undefined || (low.value === 0 && low.u === 0))
    return high === undefined ? "unknown" : `≤ ${inWords(high)}`;
  if (high === undefined) return `≥ ${inWords(low)}`;
  const [from, to] = [inWords(low), inWords(high)];
  return from === to ? from : `${from} to ${to}`;
}

/** Whether a figure lies between two limits; undefined where its bounds leave it open. */
export function isBetween(figure: BoundedFigure, lowest: number, highest: number): boolean | undefined {
  const least = figure.value?.value ?? figure.low?.value ?? Number.NEGATIVE_INFINITY;
  const most = figure.value?.value ?? figure.high?.value ?? Number.POSITIVE_INFINITY;
  if (least >= lowest && most <= highest) return true;
  return most < lowest || least > highest ? false : undefined;
}

import { exactly, type MeasuredValue, minus, over, propagate } from "../../uncertainty/measured.js";

/** Letter of a convention: see `BalanceConvention`. */
export type ConventionLetter = "a" | "b" | "c" | "d" | "e";

/** One way to state how far a balance is open; reports mean different ones by the same words. */
export interface BalanceConvention {
  readonly letter: ConventionLetter;
  /** What reports call it. */
  readonly name: string;
  readonly formula: string;
  /** undefined where all inputs are exact and the figure needs an uncertainty. */
  readonly value: MeasuredValue | undefined;
}

/** Formulas of the conventions; C cations, A anions in meq/L, u standard uncertainty. */
export const CONVENTION_FORMULAS: Readonly<Record<ConventionLetter, string>> = {
  a: "100·(C − A)/(C + A)",
  b: "100·(C − A)/(½·(C + A))",
  c: "C/A",
  d: "C − A",
  e: "(C − A)/u(C − A)",
};

/**
 * One difference in the five conventions: (a) percent of both sums, (b) percent of half of both sums, twice (a), (c) ratio,
 * (d) absolute, (e) in standard uncertainties.
 *
 * @source (a) Standard Methods 1030 E; (b) World Meteorological Organization, Global Atmosphere Watch; (c), (d) and (e):
 *   common practice, no source
 */
export function conventionsOf(cations: MeasuredValue, anions: MeasuredValue): readonly BalanceConvention[] {
  const difference = minus(cations, anions);
  const sides = { C: cations, A: anions };
  const percent = (part: number): MeasuredValue =>
    propagate(({ C, A }) => (100 * (C - A)) / (part * (C + A)), sides, "%");
  const line = (letter: ConventionLetter, name: string, value: MeasuredValue | undefined) => ({
    letter,
    name,
    formula: CONVENTION_FORMULAS[letter],
    value,
  });
  return [
    line("a", "charge balance error", percent(1)),
    line("b", "ion difference, of half of both sums", percent(0.5)),
    line("c", "ratio of cations to anions", anions.value > 0 ? over(cations, anions) : undefined),
    line("d", "difference", difference),
    line(
      "e",
      "difference in its standard uncertainties",
      difference.u > 0 ? exactly(difference.value / difference.u, "1") : undefined,
    ),
  ];
}

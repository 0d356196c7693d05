import { IonbookError } from "../errors.js";
import { mean, standardDeviation } from "../numeric/summary.js";
import {
  combineLinear,
  fromSources,
  type MeasuredValue,
  type SourceContribution,
} from "../uncertainty/measured.js";

/** Values of one kind, one for each visit. */
export interface VisitGroup {
  /** "before", "after" or the name of a place: says whose scatter it is. */
  readonly name: string;
  readonly values: readonly MeasuredValue[];
}

/** What a group with a single visit means: no scatter to be seen in it. */
export type OneVisit = "refuse" | "analytical only";

export interface ContrastOptions {
  readonly unit: string;
  /** What the values are, for names and messages: "chloride, well 3 − spring". */
  readonly about: string;
  readonly oneVisit: OneVisit;
}

/**
 * The mean of `first` minus the mean of `second`, or the mean of `first` alone, as the visits themselves show it:
 *
 *     Δ = ȳ₁ − ȳ₂        u²(Δ) = s₁²/n₁ + s₂²/n₂ + Σₖ (c̄ₖ₁ − c̄ₖ₂)²        ν = u⁴/Σ(uᵢ⁴/νᵢ)
 *
 * yᵢ values of the visits and s their scatter, with n − 1 degrees of freedom each (Welch and Satterthwaite); c̄ₖ mean
 * contribution of source k to the values of a group, signed; all in `unit`. The sum runs over the sources that at
 * least two visits share (calibration, stock, …): all visits move together with them, so no scatter shows them, and
 * what is common to both groups cancels. A source of a single visit (its own peak area, a calibration of that day) is
 * part of the scatter already and not counted again. A source shared by few of many visits is counted in full although
 * the scatter shows a part of it: u is then a little too large, never too small.
 *
 * With `oneVisit` "analytical only" and a group of one, all sources are counted and the scatter between visits, unknown
 * then, is left out.
 *
 * @throws IonbookError "one-visit" for a group of a single visit, "no-visits" for an empty one
 * @source JCGM 100:2008 (GUM), 4.2.3, 5.2.2 and G.4.1; B. L. Welch, Biometrika 34 (1947) 28
 */
export function meanContrast(
  first: VisitGroup,
  second: VisitGroup | undefined,
  options: ContrastOptions,
): MeasuredValue {
  const groups = second === undefined ? [first] : [first, second];
  for (const group of groups) requireVisits(group, options);
  const terms = groups.flatMap(({ values }, i) =>
    values.map((value) => ({ value, factor: (i === 0 ? 1 : -1) / values.length })),
  );
  if (isAnalyticalOnly(groups)) return combineLinear(terms, options.unit);
  const means = groups.map(({ values }) => mean(values.map(({ value }) => value)));
  const delta = means.length === 1 ? means[0] : means[0] - means[1];
  return fromSources(delta, options.unit, [...scatterOf(groups, options), ...sharedOf(terms)]);
}

/** True where a group has a single visit, so that nothing can be said of the scatter between visits. */
export function isAnalyticalOnly(groups: readonly VisitGroup[]): boolean {
  return groups.some(({ values }) => values.length === 1);
}

function requireVisits({ name, values }: VisitGroup, { about, oneVisit }: ContrastOptions): void {
  if (values.length === 0) {
    throw new IonbookError(
      "no-visits",
      `${about}: no visit ${name}; a comparison needs visits on both sides`,
    );
  }
  if (values.length === 1 && oneVisit === "refuse") {
    throw new IonbookError(
      "one-visit",
      `${about}: a single visit ${name}, so the scatter between visits is unknown. Visit again, or write oneVisit: "analytical only" to compare the bottles alone, with no claim for the place`,
    );
  }
}

/** Values closer than this, relative to their size, are equal but for rounding. */
const ROUNDING = 1e-10;

/** @throws IonbookError "no-scatter" where the values of every group are equal among themselves */
export function requireScatter(groups: readonly VisitGroup[], about: string): void {
  if (isAnalyticalOnly(groups)) return;
  const values = groups.map((group) => group.values.map(({ value }) => value));
  const size = Math.max(...values.flat().map(Math.abs));
  if (values.some((each) => standardDeviation(each) > ROUNDING * size)) return;
  throw new IonbookError(
    "no-scatter",
    `${about}: all values ${groups.map(({ name }) => name).join(" and ")} are equal, and visits that do not scatter tell no uncertainty. Look for a series compared with itself, a copied value or values rounded too far`,
  );
}

function scatterOf(groups: readonly VisitGroup[], { about }: ContrastOptions): readonly SourceContribution[] {
  return groups.map(({ name, values }) => ({
    source: `scatter between visits, ${name} (${about})`,
    contribution: standardDeviation(values.map(({ value }) => value)) / Math.sqrt(values.length),
    dof: values.length - 1,
  }));
}

/** Sources that reach the result through at least two visits, each with its signed sum. */
function sharedOf(
  terms: readonly { readonly value: MeasuredValue; readonly factor: number }[],
): readonly SourceContribution[] {
  const found = new Map<string, { visits: number; entry: SourceContribution }>();
  for (const { value, factor } of terms) {
    value.sources.forEach(({ key, u, dof, shape, group }, i) => {
      const c = value.contributions[i];
      if (c === 0) return;
      const known = found.get(key);
      const contribution = factor * c + (known?.entry.contribution ?? 0);
      const grouped = group === undefined ? {} : { group };
      const entry = { source: key, contribution, u, dof, shape, ...grouped };
      found.set(key, { visits: (known?.visits ?? 0) + 1, entry });
    });
  }
  return [...found.values()].filter(({ visits }) => visits >= 2).map(({ entry }) => entry);
}

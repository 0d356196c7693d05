import { studentCdf, studentQuantile } from "../numeric/distributions.js";
import { combineLinear, type MeasuredValue, wholeDof } from "../uncertainty/measured.js";
import { seriesComparison } from "./compared-series.js";
import {
  type AnyDesignOptions,
  type OnePlaceOptions,
  requireFit,
  requireOptions,
  requireSeries,
  type TwoPlaceOptions,
} from "./comparison-options.js";
import { testEquivalence } from "./equivalence.js";
import {
  isAnalyticalOnly,
  meanContrast,
  type OneVisit,
  requireScatter,
  type VisitGroup,
} from "./mean-contrast.js";
import { flipSigns, type PermutationTest, permuteGroups } from "./permutation.js";
import type { Series } from "./series.js";
import type {
  ComparedPlace,
  PlaceLevel,
  SeriesComparison,
  SeriesDesign,
  SeriesVerdict,
} from "./series-comparison.js";
import { byPeriod, hasChange, type Study, studyOf, valuesOf } from "./study.js";

/**
 * Whether one ion changed at a place, told against a control that the change could not reach; or whether two places
 * differ. One visit gives one value: samples of one day are averaged.
 *
 *     before-after-control   Δ = mean(dᵢ after) − mean(dᵢ before),  dᵢ = treated − control on day i
 *     before-after           Δ = mean(yᵢ after) − mean(yᵢ before)
 *     paired                 Δ = mean(dᵢ)
 *     independent            Δ = mean(treated) − mean(control)
 *     u²(Δ) = s₁²/n₁ + s₂²/n₂ + Σₖ Cₖ²       t = Δ/u(Δ)       δ = (t₍₁₊level₎/₂ + t_power)·u(Δ)
 *
 * s scatter of the n values of a group between visits, with n − 1 degrees of freedom; Cₖ contribution of source k,
 * counted for the sources that at least two visits share (calibration, stock, …), signed, so what is common cancels;
 * all in the unit of the series. What belongs to a single visit is in the scatter already and not counted twice.
 * Degrees of freedom by Welch and Satterthwaite, cut to a whole number for interval, p and δ. Beside t stands the exact
 * permutation test with the smallest p so many visits can give; with `margin` two one-sided tests of equivalence.
 *
 * Results below the critical value take part with their raw values and are named. The t test supposes independent
 * visits with roughly normal scatter; visits close in time are more alike than that. That treated and control would
 * have moved alike without the change is the study's assumption, not its result.
 *
 * @throws IonbookError "unit-mismatch", "ion-mismatch"; "unknown-design", "missing-control" for series that do not fit
 *   the design; "unpaired-days" naming them; "one-visit", "no-visits", "no-scatter"; "not-measured"; "missing-date",
 *   "bad-date"; "missing-period", "bad-period"; "bad-level", "bad-power", "bad-margin"
 * @source A. Stewart-Oaten, W. W. Murdoch, K. R. Parker, Ecology 67 (1986) 929 (before-after-control; from memory);
 *   B. L. Welch, Biometrika 34 (1947) 28; JCGM 100:2008 (GUM), 5.2.2 and G.4.1; smallest difference: common practice,
 *   no source
 */
export function compareSeries(treated: Series, control: Series, options: TwoPlaceOptions): SeriesComparison;
export function compareSeries(series: Series, options: OnePlaceOptions): SeriesComparison;
export function compareSeries(
  treated: Series,
  second: Series | OnePlaceOptions,
  third?: TwoPlaceOptions,
): SeriesComparison {
  requireSeries(treated, second);
  const control = "kind" in second ? second : undefined;
  const options = requireOptions(control === undefined ? (second as OnePlaceOptions) : third);
  requireFit(treated, control, options.design);
  const study = studyOf(treated, control, options);
  return evaluated(study, treated, options);
}

function evaluated(study: Study, treated: Series, options: AnyDesignOptions): SeriesComparison {
  const { level = 0.95, power = 0.8, oneVisit = "refuse", margin, design, change } = options;
  const { unit, ion } = treated;
  const [first, second] = study.groups;
  const effect = meanContrast(first, second, { unit, about: study.about, oneVisit });
  requireScatter(study.groups, study.about);
  const interval = effect.interval(level);
  const places = study.places.map((place) => comparedPlace(place, ion, unit, oneVisit));
  const dof = wholeDof(effect.dof);
  const t = effect.value === 0 ? 0 : effect.value / effect.u;
  const p = 2 * studentCdf(-Math.abs(t), dof);
  return seriesComparison({
    design,
    ion,
    unit,
    places,
    change,
    effect,
    interval,
    percent: percentOf(effect, places, design),
    verdict: verdictOf(design, p < 1 - level ? Math.sign(effect.value) : 0),
    t,
    dof: effect.dof,
    p,
    permutation: permuted(study.groups),
    smallestDifference: (interval.k + studentQuantile(power, dof)) * effect.u,
    equivalence: margin === undefined ? undefined : testEquivalence(effect, margin, level),
    counts: (design === "independent" ? study.groups : study.groups.toReversed()).map(
      ({ values }) => values.length,
    ),
    level,
    power,
    notes: notesOf(study),
  });
}

function comparedPlace(
  { place, days }: Study["places"][number],
  ion: string,
  unit: string,
  oneVisit: OneVisit,
): ComparedPlace {
  const about = `${ion}, ${place}`;
  // A place's own mean may rest on one visit although the comparison as a whole does not.
  const options = { unit, about, oneVisit: "analytical only" as const };
  const levels = ([undefined, "before", "after"] as const).flatMap((period): readonly PlaceLevel[] => {
    const values = valuesOf(days, period);
    if (values.length === 0) return [];
    const name = period ?? "all";
    return [{ period, visits: values.length, mean: meanContrast({ name, values }, undefined, options) }];
  });
  const [after, before] = byPeriod(days);
  const changed = after.values.length > 0 && before.values.length > 0;
  const change = changed ? meanContrast(after, before, { unit, about, oneVisit }) : undefined;
  return { place, days, levels, change };
}

function percentOf(
  effect: MeasuredValue,
  places: readonly ComparedPlace[],
  design: SeriesDesign,
): MeasuredValue | undefined {
  const withChange = hasChange(design);
  const place = withChange ? places[0] : places[1];
  const level = place.levels.find(({ period }) => period === (withChange ? "before" : undefined))?.mean;
  if (level === undefined || level.interval().low <= 0) return undefined;
  return combineLinear([{ value: effect, factor: 100 / level.value }], "%");
}

function verdictOf(design: SeriesDesign, sign: number): SeriesVerdict {
  if (!hasChange(design)) {
    return sign > 0 ? "higher" : sign < 0 ? "lower" : "no difference shown";
  }
  return sign > 0 ? "rose" : sign < 0 ? "fell" : "no change shown";
}

function permuted(groups: readonly VisitGroup[]): PermutationTest | undefined {
  if (isAnalyticalOnly(groups)) return undefined;
  const [first, second] = groups.map(({ values }) => values.map(({ value }) => value));
  return second === undefined ? flipSigns(first) : permuteGroups(first, second);
}

function notesOf({ places, leftOut, groups }: Study): readonly string[] {
  const gathered = (which: "nonDetects" | "aboveRange") =>
    places.flatMap(({ days }) => days.flatMap((day) => day[which])).join(", ");
  const [nonDetects, aboveRange] = [gathered("nonDetects"), gathered("aboveRange")];
  const notes: string[] = [];
  if (isAnalyticalOnly(groups))
    notes.push(
      "the scatter between visits is unknown: this compares the bottles, and says nothing of how much the place itself varies",
    );
  if (nonDetects !== "") notes.push(`not detected, raw values used: ${nonDetects}`);
  if (aboveRange !== "") notes.push(`above the calibrated range: ${aboveRange}`);
  if (leftOut.length > 0) notes.push(`left out, visited at one place only: ${leftOut.join(", ")}`);
  return notes;
}

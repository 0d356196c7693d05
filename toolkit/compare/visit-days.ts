import { IonbookError } from "../errors.js";
import { combineLinear, type MeasuredValue } from "../uncertainty/measured.js";
import type { Series, Visit } from "./series.js";

export type Period = "before" | "after";

/** What one place showed on one day: the mean where several samples were taken. */
export interface VisitDay {
  /** "2026-02-14" */
  readonly day: string;
  readonly period: Period | undefined;
  readonly value: MeasuredValue;
  readonly samples: readonly string[];
  /** Samples below their critical value: their raw values are used. */
  readonly nonDetects: readonly string[];
  /** Samples above the calibrated range. */
  readonly aboveRange: readonly string[];
}

/** How the visits are told apart: by a date, by what the sample list says, or not at all. */
export interface PeriodRule {
  readonly needed: boolean;
  /** First moment that counts as "after", an ISO date or date and time. */
  readonly change: string | undefined;
}

/**
 * The days of a series in order, samples of one day averaged: the visit is what is repeated, not the bottle.
 *
 * @throws IonbookError "not-measured" naming samples without a value; "missing-date" or "bad-date" for a visit without
 *   an ISO date; "missing-period" where neither a date of the change nor a period says before or after; "bad-period"
 *   where one day has both, or a "before" comes later than an "after"; "no-visits" for an empty series
 */
export function visitDays(series: Series, rule: PeriodRule): readonly VisitDay[] {
  requireMeasured(series);
  const byDay = new Map<string, Visit[]>();
  for (const visit of series.visits) {
    const day = dayOf(visit, series);
    byDay.set(day, [...(byDay.get(day) ?? []), visit]);
  }
  const days = [...byDay].map(([day, visits]) => averaged(day, visits, series, rule));
  days.sort((a, b) => (a.day < b.day ? -1 : 1));
  requireOrder(days, series.place);
  return days;
}

function requireMeasured({ place, ion, visits }: Series): void {
  if (visits.length === 0)
    throw new IonbookError("no-visits", `The series of ${ion} at ${place} has no sample`);
  const missing = visits.filter(({ value }) => value === undefined).map(({ sample }) => `"${sample}"`);
  if (missing.length > 0) {
    throw new IonbookError(
      "not-measured",
      `${ion} was not measured in ${missing.join(", ")} (${place}). Measure it, or compare without these visits: makeSeries({ ...series, visits: series.visits.filter(…) })`,
    );
  }
}

function dayOf({ sample, collectedAt }: Visit, { place }: Series): string {
  if (collectedAt === undefined) {
    throw new IonbookError(
      "missing-date",
      `"${sample}" (${place}) has no date of sampling; write it into collected_at of samples.csv, like 2026-02-14`,
    );
  }
  if (!/^\d{4}-\d{2}-\d{2}/.test(collectedAt) || Number.isNaN(Date.parse(collectedAt))) {
    throw new IonbookError(
      "bad-date",
      `"${collectedAt}" of "${sample}" (${place}) is no ISO date; write it like 2026-02-14 or 2026-02-14T09:30`,
    );
  }
  return collectedAt.slice(0, 10);
}

function averaged(
  day: string,
  visits: readonly Visit[],
  { place, unit }: Series,
  rule: PeriodRule,
): VisitDay {
  const periods = new Set(visits.map((visit) => periodOf(visit, place, rule)));
  if (periods.size > 1) {
    throw new IonbookError("bad-period", `${place} has samples before and after the change on ${day}`);
  }
  const terms = visits.flatMap(({ value }) => (value ? [{ value, factor: 1 / visits.length }] : []));
  const named = (status: string) =>
    visits.filter((each) => each.status === status).map((each) => each.sample);
  return {
    day,
    period: [...periods][0],
    value: terms.length === 1 ? terms[0].value : combineLinear(terms, unit),
    samples: visits.map(({ sample }) => sample),
    nonDetects: named("not detected"),
    aboveRange: named("above range"),
  };
}

function periodOf(visit: Visit, place: string, { needed, change }: PeriodRule): Period | undefined {
  if (!needed) return undefined;
  if (change !== undefined) {
    // Texts of ISO dates sort by time; a date without a time stands for its whole day, which counts as after.
    const length = Math.min(change.length, visit.collectedAt?.length ?? 0, 16);
    return (visit.collectedAt ?? "").slice(0, length) >= change.slice(0, length) ? "after" : "before";
  }
  const period = visit.period?.trim().toLowerCase();
  if (period === "before" || period === "after") return period;
  const said = period === undefined || period === "" ? "no period" : `the period "${period}"`;
  throw new IonbookError(
    "missing-period",
    `"${visit.sample}" (${place}) has ${said}. Give the date of the change, change: "2026-03-01", or write before or after into the column period of samples.csv`,
  );
}

function requireOrder(days: readonly VisitDay[], place: string): void {
  const firstAfter = days.find(({ period }) => period === "after");
  const late = days.find(({ day, period }) => period === "before" && firstAfter && day > firstAfter.day);
  if (late && firstAfter) {
    throw new IonbookError(
      "bad-period",
      `${place}: the visit of ${late.day} is called "before" and comes later than that of ${firstAfter.day}, called "after"`,
    );
  }
}

/** Days that both places were visited on, and what is left over. */
export interface PairedDays {
  readonly pairs: readonly { readonly treated: VisitDay; readonly control: VisitDay }[];
  /** In words: "2026-02-14 (well 3)". */
  readonly unpaired: readonly string[];
}

/** @throws IonbookError "bad-period" where a day is before at one place and after at the other */
export function pairDays(
  treated: readonly VisitDay[],
  control: readonly VisitDay[],
  places: readonly [string, string],
): PairedDays {
  const partners = new Map(control.map((each) => [each.day, each]));
  const pairs = treated.flatMap((each) => {
    const partner = partners.get(each.day);
    return partner === undefined ? [] : [{ treated: each, control: partner }];
  });
  const torn = pairs.find((pair) => pair.treated.period !== pair.control.period);
  if (torn !== undefined) {
    throw new IonbookError(
      "bad-period",
      `${torn.treated.day} is "${torn.treated.period}" at ${places[0]} and "${torn.control.period}" at ${places[1]}`,
    );
  }
  const kept = new Set(pairs.map((pair) => pair.treated.day));
  const alone = (days: readonly VisitDay[], place: string) =>
    days.filter(({ day }) => !kept.has(day)).map(({ day }) => `${day} (${place})`);
  return { pairs, unpaired: [...alone(treated, places[0]), ...alone(control, places[1])] };
}

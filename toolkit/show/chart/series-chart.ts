import type { Series, Visit } from "../../compare/series.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { fixed } from "../text/numbers.js";
import { type ChartSpec, chartSpec } from "./spec.js";
import { type TimePoint, type TimeSpan, timePanel } from "./time-panel.js";

const HALF_DAY = 12 * 3_600_000;

/** Visits of one place over time with their 95 % intervals; undefined where no visit has both a date and a value. */
export function seriesChart(series: Series): ChartSpec | undefined {
  const { ion, unit, place } = series;
  const visits = drawnVisits(series);
  if (visits.length === 0) return undefined;
  const points = visits.map(pointOf);
  const color = COLORS[ionColor(ion)].fill;
  const drawn = { place, color, shape: "circle", points, spans: spansOf(visits), change: undefined } as const;
  const title = `${ion} / (${unit})`;
  const notes = [barWords(visits.map(({ value }) => value.interval().k)), ...stateWords(visits)];
  return chartSpec(timePanel([drawn], { title, notes }));
}

type DrawnVisit = Visit & { readonly collectedAt: string; readonly value: NonNullable<Visit["value"]> };

/** The visits that can be drawn: with a date and a value. */
export function drawnVisits(series: Series): readonly DrawnVisit[] {
  return series.visits.filter(
    (visit): visit is DrawnVisit =>
      visit.value !== undefined && visit.collectedAt !== undefined && !Number.isNaN(noon(visit.collectedAt)),
  );
}

/** Noon of a day, so that a day is the same one in every time zone. */
export function noon(day: string): number {
  return Date.parse(`${day.slice(0, 10)}T12:00Z`);
}

/** "bars: 95 %, k = 2.0 to 2.4; …": what the bars are, and why one may not show. */
export function barWords(factors: readonly number[]): string {
  const [low, high] = [Math.min(...factors), Math.max(...factors)].map((k) => fixed(k, 1));
  const k = low === high ? low : `${low} to ${high}`;
  return `bars: 95 %, k = ${k}; hidden where smaller than the symbol`;
}

/** From half a day before the first day to half a day after the last. */
export function spanOf(dates: readonly number[]): { readonly from: number; readonly to: number } {
  return { from: Math.min(...dates) - HALF_DAY, to: Math.max(...dates) + HALF_DAY };
}

function pointOf({ value, collectedAt, status, detectionLimit }: DrawnVisit): TimePoint {
  const { low, high } = value.interval();
  const at = { date: noon(collectedAt), value: value.value, low, high };
  if (status === "not detected") return { ...at, state: "below", bound: detectionLimit ?? high };
  return { ...at, state: status === "above range" ? "above" : "known", bound: value.value };
}

function spansOf(visits: readonly DrawnVisit[]): readonly TimeSpan[] {
  const periods = [...new Set(visits.map(({ period }) => period))];
  return periods.map((period) => {
    const dates = visits.filter((visit) => visit.period === period).map((visit) => noon(visit.collectedAt));
    return { period, mean: undefined, ...spanOf(dates) };
  });
}

function stateWords(visits: readonly DrawnVisit[]): readonly string[] {
  const words: string[] = [];
  if (visits.some(({ status }) => status === "not detected"))
    words.push("arrow: not detected, below the limit where it starts; bar: reading");
  if (visits.some(({ status }) => status === "above range"))
    words.push("arrow up: above the calibrated range");
  return words;
}

import { makeSeries, type Series } from "../../toolkit/compare/series.js";
import { type MeasuredValue, measured } from "../../toolkit/uncertainty/measured.js";

/** Three days before and three after a change, as a small study would plan them. */
export const DAYS = [
  ["2026-02-17", "before"],
  ["2026-02-19", "before"],
  ["2026-02-21", "before"],
  ["2026-03-10", "after"],
  ["2026-03-12", "after"],
  ["2026-03-14", "after"],
] as const;

/** A day for each value, the first `before` of them called "before". */
export function daysFor(count: number, before: number): readonly (readonly [string, string])[] {
  return Array.from({ length: count }, (_, i) => {
    const day = new Date(Date.UTC(2026, 0, 1 + i)).toISOString().slice(0, 10);
    return [day, i < before ? "before" : "after"] as const;
  });
}

/** A series of invented or published values, each with a small uncertainty of its own unless given whole. */
export function seriesOf(
  place: string,
  values: readonly (number | MeasuredValue)[],
  days: readonly (readonly [string, string | undefined])[] = DAYS,
  unit = "mg/L",
): Series {
  const visits = values.map((given, i) => ({
    sample: `${place} ${i + 1}`,
    collectedAt: days[i][0],
    period: days[i][1],
    value: typeof given === "number" ? measured(given, unit, { u: 0.01 }) : given,
    status: "quantified",
    detectionLimit: 0.05,
  }));
  return makeSeries({ place, ion: "chloride", unit, visits });
}

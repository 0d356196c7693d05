import type { Series, Visit } from "../../compare/series.js";
import type { SeriesComparison } from "../../compare/series-comparison.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { expanded } from "../text/measured-text.js";
import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

const WIDTH = 380;

/** One place as it is drawn: its points, and a level line for each period. */
interface DrawnPlace {
  readonly place: string;
  readonly color: string;
  readonly points: readonly SpecPart[];
  readonly levels: readonly SpecPart[];
}

/** Visits of one place over time with their expanded uncertainty (95 %); what was not detected is an open triangle. */
export function seriesChart(series: Series): ChartSpec {
  const { fill } = COLORS[ionColor(series.ion)];
  const points = series.visits.flatMap((visit) => pointOf(visit));
  const drawn = { place: series.place, color: fill, points, levels: [] };
  return chartSpec({ ...timePanel([drawn], series.ion, series.unit), width: WIDTH, height: 200 });
}

/** Above, both places over time with the mean of each period; below, the changes and the effect beside zero. */
export function comparisonChart(comparison: SeriesComparison): ChartSpec {
  const { ion, unit, places } = comparison;
  const drawn = places.map(({ place, days, levels }, index): DrawnPlace => {
    const color = index === 0 ? COLORS[ionColor(ion)].fill : INK.soft;
    const points = days.map((day) => ({
      ...interval(day.value),
      date: Date.parse(`${day.day}T12:00Z`),
      open: day.nonDetects.length > 0,
    }));
    return { place, color, points, levels: levelLines(levels, days) };
  });
  return chartSpec({
    vconcat: [
      { ...timePanel(drawn, ion, unit), width: WIDTH, height: 190 },
      { ...effectPanel(comparison), width: WIDTH },
    ],
    spacing: 26,
  });
}

function pointOf({ value, collectedAt, status }: Visit): readonly SpecPart[] {
  if (value === undefined || collectedAt === undefined) return [];
  const date = Date.parse(`${collectedAt.slice(0, 10)}T12:00Z`);
  return [{ ...interval(value), date, open: status === "not detected" }];
}

function interval(value: MeasuredValue): SpecPart {
  const half = expanded(value);
  return { value: value.value, low: value.value - half, high: value.value + half };
}

/** The mean of each period over the days that it spans. */
function levelLines(
  levels: SeriesComparison["places"][number]["levels"],
  days: SeriesComparison["places"][number]["days"],
): readonly SpecPart[] {
  return levels.flatMap(({ period, mean }) => {
    const own = days.filter((day) => period !== undefined && day.period === period).map((day) => day.day);
    if (own.length === 0) return [];
    const at = own.map((day) => Date.parse(`${day}T12:00Z`));
    const margin = 12 * 3_600_000;
    return [{ value: mean.value, date: Math.min(...at) - margin, end: Math.max(...at) + margin }];
  });
}

function timePanel(places: readonly DrawnPlace[], ion: string, unit: string): SpecPart {
  const axis = { format: "%-d %b", tickCount: 6, title: null };
  const x = { field: "date", type: "temporal", scale: { type: "utc", padding: 14 }, axis };
  const y = {
    field: "value",
    type: "quantitative",
    scale: { zero: true },
    axis: { title: `${ion} / (${unit})`, tickCount: 3, grid: true },
  };
  return { layer: places.flatMap((place) => placeLayers(place, x, y)) };
}

function placeLayers({ place, color, points, levels }: DrawnPlace, x: SpecPart, y: SpecPart): SpecPart[] {
  const last = points.reduce<SpecPart | undefined>(
    (latest, each) => (latest === undefined || Number(each.date) > Number(latest.date) ? each : latest),
    undefined,
  );
  const label = { align: "right", dy: -11, fontSize: 11, fill: INK.ink };
  return [
    {
      data: { values: levels },
      mark: { type: "rule", color, strokeWidth: 5, opacity: 0.3 },
      encoding: { x, x2: { field: "end" }, y },
    },
    {
      data: { values: points },
      mark: { type: "rule", color: INK.ink, strokeWidth: 1 },
      encoding: { x, y: { ...y, field: "low" }, y2: { field: "high" } },
    },
    {
      data: { values: points.filter((each) => each.open !== true) },
      mark: { type: "point", filled: true, color, opacity: 1, size: 42 },
      encoding: { x, y },
    },
    {
      data: { values: points.filter((each) => each.open === true) },
      mark: { type: "point", shape: "triangle-down", filled: false, color, size: 46 },
      encoding: { x, y },
    },
    ...(last === undefined
      ? []
      : [texts([{ ...last, place }], "place", { ...label, dx: 6 }, { x, y: { ...y, field: "high" } })]),
  ];
}

/** The changes of the places and the effect, each with its interval, beside zero and what could have been missed. */
function effectPanel({ effect, places, smallestDifference, unit, level, power }: SeriesComparison): SpecPart {
  const changes = places.flatMap(({ place, change }) =>
    change === undefined ? [] : [{ ...interval(change), row: `change at ${place}`, main: false }],
  );
  const name = changes.length > 1 ? `${places[0].place} beyond ${places[1].place}` : "effect";
  const rows = [...(changes.length > 1 ? changes : []), { ...interval(effect), row: name, main: true }];
  const y = {
    field: "row",
    type: "nominal",
    scale: { domain: rows.map(({ row }) => row), padding: 0.5 },
    axis: { title: null, domain: false, ticks: false, labelColor: INK.ink, labelLimit: 170 },
  };
  const axis = { title: `difference / (${unit}), ${100 * level} % intervals`, tickCount: 5 };
  const x = { field: "value", type: "quantitative", scale: { zero: true }, axis };
  const unseen = [{ value: -smallestDifference, end: smallestDifference }];
  const said = [
    {
      value: smallestDifference,
      row: rows[0].row,
      text: `smaller ones: found with less than ${100 * power} %`,
    },
  ];
  return {
    height: 34 * rows.length,
    layer: [
      {
        data: { values: unseen },
        mark: { type: "rect", color: INK.soft, opacity: 0.16 },
        encoding: { x, x2: { field: "end" } },
      },
      {
        data: { values: [{ value: 0 }] },
        mark: { type: "rule", color: INK.soft, strokeDash: [3, 3] },
        encoding: { x },
      },
      {
        data: { values: rows },
        mark: { type: "rule", color: INK.ink, strokeWidth: 1.5 },
        encoding: { x: { ...x, field: "low" }, x2: { field: "high" }, y },
      },
      {
        data: { values: rows },
        mark: { type: "point", filled: true, color: INK.ink, opacity: 1, size: 46 },
        encoding: { x, y },
      },
      texts(said, "text", { align: "left", dx: 4, dy: -15, fontSize: 10, fill: INK.soft }, { x, y }),
    ],
  };
}

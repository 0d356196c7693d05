import type { ComparedPlace, SeriesComparison } from "../../compare/series-comparison.js";
import { type MeasuredValue, roundedBy } from "../../uncertainty/measured.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { fixed, quantity, trimmed } from "../text/numbers.js";
import { axisTicks } from "../trace/trace-paths.js";
import { groundedTexts } from "./marks.js";
import { barWords, noon, spanOf } from "./series-chart.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";
import { PANEL_WIDTH, panelTitle, type TimePlace, type TimePoint, timePanel } from "./time-panel.js";

/** Height of one row of the lower panel: its words, below them its interval, px. */
const ROW = 36;

/**
 * Above, the places over time with the mean of each period and the way from one to the next; below, what each place
 * changed by and the effect, each with its interval beside zero and the smallest difference that the study would find.
 */
export function comparisonChart(comparison: SeriesComparison): ChartSpec {
  const { ion, unit, places, change } = comparison;
  const values = places.flatMap(({ days }) => days.map(({ value }) => value));
  const open = places.some(({ days }) => days.some(({ nonDetects }) => nonDetects.length > 0));
  const notes = [barWords(values.map((value) => value.interval().k))];
  if (open) notes.push("arrow: not detected, raw value and its bar");
  const changedAt = change === undefined ? undefined : Date.parse(`${change.slice(0, 10)}T00:00Z`);
  const drawn = places.map((place, index) => drawnPlace(place, index, comparison));
  return chartSpec({
    vconcat: [timePanel(drawn, { title: `${ion} / (${unit})`, notes, changedAt }), effectPanel(comparison)],
    spacing: 22,
  });
}

/** Whether the design asks for a change, and not for a difference between places. */
export function asksForChange({ design }: SeriesComparison): boolean {
  return design === "before-after" || design === "before-after-control";
}

function placeColor(comparison: SeriesComparison, index: number): string {
  return index === 0 ? COLORS[ionColor(comparison.ion)].fill : INK.soft;
}

function drawnPlace(place: ComparedPlace, index: number, comparison: SeriesComparison): TimePlace {
  const changes = asksForChange(comparison);
  const spans = place.levels
    .filter(({ period }) => (period !== undefined) === changes)
    .map(({ period, mean }) => {
      const days = place.days.filter((day) => period === undefined || day.period === period);
      return { period, mean: mean.value, ...spanOf(days.map(({ day }) => noon(day))) };
    });
  return {
    place: place.place,
    color: placeColor(comparison, index),
    shape: index === 0 ? "circle" : "square",
    points: place.days.map(pointOf),
    spans,
    change: changes && place.change ? differenceText(place.change, comparison.level) : undefined,
  };
}

function pointOf({ day, value, nonDetects, aboveRange }: ComparedPlace["days"][number]): TimePoint {
  const { low, high } = value.interval();
  const state = nonDetects.length > 0 ? "below" : aboveRange.length > 0 ? "above" : "known";
  return { date: noon(day), value: value.value, low, high, state, bound: value.value };
}

/** "+23.46 ± 1.05 mg/L", expanded to `level` and rounded as the sentences of the comparison are. */
function differenceText(measured: MeasuredValue, level: number): string {
  const { value, u, unit } = measured;
  const text = roundedBy(u, value).replace("-", "−");
  const sign = value > 0 && /[1-9]/.test(text) ? "+" : "";
  const { low, high } = measured.interval(level);
  return quantity(`${sign}${text}${u > 0 ? ` ± ${roundedBy(u, (high - low) / 2)}` : ""}`, unit);
}

/** One row of the lower panel. */
interface Row {
  readonly text: string;
  readonly value: number | undefined;
  readonly low: number;
  readonly high: number;
  readonly color: string;
  readonly shape: string;
  readonly main: boolean;
  readonly textAt: number;
  readonly lineAt: number;
}

function rowsOf(comparison: SeriesComparison): readonly Row[] {
  const { effect, places, level, power, smallestDifference, unit } = comparison;
  const row = (measured: MeasuredValue, name: string, color: string, shape: string, main: boolean) => {
    const { low, high, k } = measured.interval(level);
    const text = `${name}: ${differenceText(measured, level)} (k = ${fixed(k, 1)})`;
    return { text, value: measured.value, low, high, color, shape, main };
  };
  const alone =
    comparison.design === "before-after-control"
      ? places.flatMap(({ place, change }, index) => {
          const shape = index === 0 ? "circle" : "square";
          return change
            ? [row(change, `change at ${place}`, placeColor(comparison, index), shape, false)]
            : [];
        })
      : [];
  const size = quantity(roundedBy(effect.u, smallestDifference), unit);
  const unseen = {
    text: `within ± ${size}: found with less than ${trimmed(100 * power, 3)} % probability`,
    value: undefined,
    low: -smallestDifference,
    high: smallestDifference,
    color: INK.soft,
    shape: "circle",
    main: false,
  };
  const rows = [...alone, row(effect, effectName(comparison), INK.ink, "diamond", true), unseen];
  return rows.map((each, index) => ({ ...each, textAt: index * ROW + 9, lineAt: index * ROW + 24 }));
}

function effectName({ design, places }: SeriesComparison): string {
  const [first, second] = places.map(({ place }) => place);
  if (design === "before-after") return `change at ${first}`;
  return design === "before-after-control" ? `${first} beyond ${second}` : `${first} minus ${second}`;
}

function effectPanel(comparison: SeriesComparison): SpecPart {
  const rows = rowsOf(comparison);
  const height = rows.length * ROW;
  const ends = [0, ...rows.flatMap(({ low, high }) => [low, high])];
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  const margin = 0.04 * (most - least || 1);
  const domain = [least - margin, most + margin];
  const ticks = axisTicks(domain[0], domain[1], 6);
  const x = {
    field: "value",
    type: "quantitative",
    scale: { domain, nice: false, zero: false },
    axis: { title: null, values: ticks.at, format: `.${ticks.decimals}f` },
  };
  const y = {
    field: "lineAt",
    type: "quantitative",
    scale: { domain: [height, 0], nice: false, zero: false },
    axis: null,
  };
  const zero = { type: "rule", color: INK.soft, strokeWidth: 1, strokeDash: [3, 3] };
  const title = `difference / (${comparison.unit})`;
  return {
    width: PANEL_WIDTH,
    height,
    title: panelTitle(title, [
      `bars: ${trimmed(100 * comparison.level, 4)} % intervals; dashed: no difference`,
    ]),
    layer: [
      { data: { values: [{ value: 0 }] }, mark: zero, encoding: { x } },
      ...rowTexts(rows, y),
      ...rows.flatMap((row) => rowMarks(row, x, y)),
    ],
  };
}

function rowTexts(rows: readonly Row[], y: SpecPart): readonly SpecPart[] {
  return rows.flatMap((row) => {
    const fill = row.value === undefined ? INK.soft : INK.ink;
    const mark = { align: "left", x: 4, fontWeight: row.main ? "bold" : "normal", fill };
    return groundedTexts([row], "text", mark, { y: { ...y, field: "textAt" } });
  });
}

/** An interval with its ends, and the value on it where there is one. */
function rowMarks(row: Row, x: SpecPart, y: SpecPart): readonly SpecPart[] {
  const data = { values: [row] };
  const line = { type: "rule", color: row.color, strokeWidth: row.main ? 2.2 : 1.4 };
  const cap = { type: "tick", orient: "vertical", color: row.color, thickness: 1.4, size: 8, opacity: 1 };
  const dot = { type: "point", shape: row.shape, filled: true, fill: row.color, stroke: INK.ink };
  const marks: SpecPart[] = [
    { data, mark: line, encoding: { x: { ...x, field: "low" }, x2: { field: "high" }, y } },
    { data, mark: cap, encoding: { x: { ...x, field: "low" }, y } },
    { data, mark: cap, encoding: { x: { ...x, field: "high" }, y } },
  ];
  if (row.value !== undefined)
    marks.push({
      data,
      mark: { ...dot, strokeWidth: 0.7, opacity: 1, size: row.main ? 60 : 40 },
      encoding: { x, y },
    });
  return marks;
}

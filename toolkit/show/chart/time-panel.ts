import { textWidth } from "../trace/label-places.js";
import { axisTicks } from "../trace/trace-paths.js";
import { groundedTexts, intervalBars, texts } from "./marks.js";
import { INK, type SpecPart } from "./spec.js";

/** One reading over time with the ends of its interval. */
export interface TimePoint {
  /** Milliseconds since 1970, UTC. */
  readonly date: number;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  /** "below" and "above": the truth lies beyond `bound`, drawn as an open symbol with an arrow. */
  readonly state: "known" | "below" | "above";
  /** Where the open symbol stands; the interval of the reading stays where it is. */
  readonly bound: number;
}

/** The days of a period, with their mean where it is to be drawn. */
export interface TimeSpan {
  readonly period: string | undefined;
  readonly mean: number | undefined;
  readonly from: number;
  readonly to: number;
}

export interface TimePlace {
  readonly place: string;
  readonly color: string;
  readonly shape: "circle" | "square";
  readonly points: readonly TimePoint[];
  readonly spans: readonly TimeSpan[];
  /** Written on the line that leads from the mean before to the mean after. */
  readonly change: string | undefined;
}

export interface TimePanelOptions {
  /** Quantity and unit, and below it what the bars are. */
  readonly title: string;
  readonly notes: readonly string[];
  /** When the change took place, if that is known. */
  readonly changedAt?: number | undefined;
}

export const PANEL_WIDTH = 360;
const HEIGHT = 180;
/** Room that a name needs above or below its points, px. */
const NAME_ROOM = 20;
const HOUR = 3_600_000;
const ARROWS = {
  below: "M0,0.55V2.3M-0.5,1.6L0,2.3L0.5,1.6",
  above: "M0,-0.55V-2.3M-0.5,-1.6L0,-2.3L0.5,-1.6",
} as const;

/** What the panel shows and where, px from its upper left corner. */
interface Frame {
  readonly x: readonly [number, number];
  readonly y: readonly [number, number];
  readonly across: (date: number) => number;
  readonly down: (value: number) => number;
}

/** Places over time: intervals, means of periods with the change between them, names beside their points. */
export function timePanel(places: readonly TimePlace[], options: TimePanelOptions): SpecPart {
  const frame = frameOf(places);
  // Zero lies on the axis and takes no grid line of its own.
  const ticks = axisTicks(frame.y[0], frame.y[1], frame.y[0] === 0 ? 4 : 3);
  const x = {
    field: "date",
    type: "quantitative",
    scale: { domain: frame.x, nice: false, zero: false },
    axis: { ...dayAxis(places, frame), title: null },
  };
  const y = {
    field: "value",
    type: "quantitative",
    scale: { domain: frame.y, nice: false, zero: false },
    axis: { title: null, values: ticks.at, format: `.${ticks.decimals}f`, grid: true },
  };
  const upper = places.reduce((best, each) => (ending(each) > ending(best) ? each : best), places[0]);
  return {
    width: PANEL_WIDTH,
    height: HEIGHT,
    title: panelTitle(options.title, options.notes),
    layer: [
      ...changeDay(options.changedAt, x),
      ...periodNames(places, x),
      ...places.flatMap((place) => [
        ...spanLayers(place, place === upper, frame, x, y),
        ...pointLayers(place, x, y),
        nameLayer(place, place === upper, frame, x, y),
      ]),
    ],
  };
}

/** Quantity and unit above a panel, with quiet lines below. */
export function panelTitle(text: string, notes: readonly string[]): SpecPart {
  return {
    text,
    subtitle: notes,
    anchor: "start",
    frame: "group",
    offset: 10,
    color: INK.ink,
    fontSize: 11,
    fontWeight: "normal",
    subtitleColor: INK.soft,
    subtitleFontSize: 10,
    subtitlePadding: 3,
  };
}

/** The value axis starts at zero unless that would leave more than half of it empty. */
function frameOf(places: readonly TimePlace[]): Frame {
  const points = places.flatMap((place) => place.points);
  const ends = points.flatMap(({ low, high, bound }) => [low, high, bound]);
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  const floor = least > most / 2 ? least : Math.min(0, least);
  const span = most > floor ? most - floor : Math.abs(most) || 1;
  const bottom = floor === 0 ? 0 : floor - 0.16 * span;
  const y = [bottom, most + 0.16 * span] as const;
  const dates = points.map(({ date }) => date);
  const [first, last] = [Math.min(...dates), Math.max(...dates)];
  const margin = Math.max(12 * HOUR, 0.05 * (last - first));
  const x = [first - margin, last + margin] as const;
  return {
    x,
    y,
    across: (date) => ((date - x[0]) / (x[1] - x[0])) * PANEL_WIDTH,
    down: (value) => (1 - (value - y[0]) / (y[1] - y[0])) * HEIGHT,
  };
}

/** A tick for every day of a visit, named where there is room. */
function dayAxis(places: readonly TimePlace[], frame: Frame): SpecPart {
  const dates = [...new Set(places.flatMap((place) => place.points.map(({ date }) => date)))];
  const long = frame.x[1] - frame.x[0] > 300 * 24 * HOUR;
  // A linear axis: layers of a time axis do not agree on the domain that they were given.
  const labelExpr = `utcFormat(datum.value, "${long ? "%b %Y" : "%-d %b"}")`;
  return { values: dates.sort((a, b) => a - b), labelExpr, labelOverlap: "greedy", labelSeparation: 6 };
}

/** The mean that a place ends with, or its last reading. */
function ending({ points, spans }: TimePlace): number {
  const last = latest(points);
  const span = spans.find((each) => last !== undefined && each.to >= last.date);
  return span?.mean ?? last?.value ?? 0;
}

function latest(points: readonly TimePoint[]): TimePoint | undefined {
  return points.reduce<TimePoint | undefined>(
    (best, each) => (best === undefined || each.date > best.date ? each : best),
    undefined,
  );
}

function changeDay(changedAt: number | undefined, x: SpecPart): readonly SpecPart[] {
  if (changedAt === undefined) return [];
  const values = [{ date: changedAt, text: "change" }];
  const rule = { type: "rule", color: INK.soft, strokeDash: [2, 3], clip: true };
  const text = { fontSize: 10, fill: INK.soft, align: "right", dx: -4 };
  return [
    { data: { values }, mark: rule, encoding: { x } },
    texts(values, "text", text, { x, y: { value: 6 } }),
  ];
}

/** Below the dates a bracket over the days of each named period, with its name. */
function periodNames(places: readonly TimePlace[], x: SpecPart): readonly SpecPart[] {
  const names = new Set(places.flatMap(({ spans }) => spans.map(({ period }) => period)));
  const values = [...names].flatMap((period) => {
    if (period === undefined) return [];
    const own = places.flatMap(({ spans }) => spans.filter((span) => span.period === period));
    const from = Math.min(...own.map((span) => span.from));
    const to = Math.max(...own.map((span) => span.to));
    return [{ period, date: from, end: to, middle: (from + to) / 2 }];
  });
  if (values.length === 0) return [];
  const bracket = { type: "rule", color: INK.soft, strokeWidth: 1, strokeOpacity: 0.55 };
  const text = { fontSize: 11, fill: INK.ink };
  return [
    { data: { values }, mark: bracket, encoding: { x, x2: { field: "end" }, y: { value: HEIGHT + 24 } } },
    texts(values, "period", text, { x: { ...x, field: "middle" }, y: { value: HEIGHT + 34 } }),
  ];
}

/** Thick translucent lines at the means, and the way from one to the next with what it amounts to. */
function spanLayers(
  place: TimePlace,
  above: boolean,
  frame: Frame,
  x: SpecPart,
  y: SpecPart,
): readonly SpecPart[] {
  const means = place.spans.filter((span) => span.mean !== undefined);
  const values = means.map(({ mean, from, to }) => ({ value: mean, date: from, end: to }));
  const level = { type: "rule", color: place.color, strokeWidth: 6, opacity: 0.35 };
  const levels = { data: { values }, mark: level, encoding: { x, x2: { field: "end" }, y } };
  const [before, after] = [means.find(isBefore), means.find(isAfter)];
  if (before?.mean === undefined || after?.mean === undefined || before.to >= after.from) return [levels];
  const way = [{ date: before.to, end: after.from, value: before.mean, reached: after.mean }];
  const line = {
    data: { values: way },
    mark: { type: "rule", color: place.color, strokeWidth: 1.2, strokeDash: [4, 3] },
    encoding: { x, x2: { field: "end" }, y, y2: { field: "reached" } },
  };
  const free = frame.across(after.from) - frame.across(before.to) - 8;
  const width = textWidth(place.change ?? "", 11);
  if (place.change === undefined || width > free) return [levels, line];
  const slope = Math.abs(frame.down(after.mean) - frame.down(before.mean)) / (free + 8);
  const away = slope * (width / 2) + 10;
  const middle = [
    { date: (before.to + after.from) / 2, value: (before.mean + after.mean) / 2, text: place.change },
  ];
  const room = frame.down((before.mean + after.mean) / 2) + away + NAME_ROOM / 2 < HEIGHT;
  const dy = above || !room ? -away : away;
  const label = groundedTexts(middle, "text", { fill: INK.ink, dy }, { x, y });
  return [levels, ...label, line];
}

function isBefore({ period }: TimeSpan): boolean {
  return period === "before";
}

function isAfter({ period }: TimeSpan): boolean {
  return period === "after";
}

function pointLayers({ color, shape, points }: TimePlace, x: SpecPart, y: SpecPart): readonly SpecPart[] {
  const known = points.filter(({ state }) => state === "known");
  const bounds = points.filter(({ state }) => state !== "known");
  const at = { x, y: { ...y, field: "bound" } };
  const dot = { type: "point", shape, filled: true, fill: color, stroke: INK.ink, strokeWidth: 0.7 };
  const ring = { type: "point", shape, filled: true, fill: INK.paper, stroke: INK.ink, strokeWidth: 1.1 };
  const arrows = (["below", "above"] as const).map((state) => ({
    data: { values: bounds.filter((point) => point.state === state) },
    mark: {
      type: "point",
      shape: ARROWS[state],
      filled: false,
      color: INK.ink,
      strokeWidth: 1.1,
      opacity: 1,
      size: 90,
    },
    encoding: at,
  }));
  return [
    intervalBars(points, x, y),
    { data: { values: known }, mark: { ...dot, opacity: 1, size: 34 }, encoding: { x, y } },
    ...arrows,
    { data: { values: bounds }, mark: { ...ring, opacity: 1, size: 38 }, encoding: at },
  ];
}

/** The name of a place above its last points, or below them where another place is higher and there is room. */
function nameLayer(
  { place, points }: TimePlace,
  upper: boolean,
  frame: Frame,
  x: SpecPart,
  y: SpecPart,
): SpecPart {
  const last = latest(points);
  if (last === undefined) return texts([], "text", {}, { x, y });
  const right = frame.across(last.date) + 6;
  const near = points.filter(({ date }) => frame.across(date) > right - textWidth(place, 11) - 6);
  const lowest = Math.min(...near.map(({ low, bound }) => Math.min(low, bound)));
  const highest = Math.max(...near.map(({ high, bound }) => Math.max(high, bound)));
  const below = !upper && frame.down(lowest) + NAME_ROOM < HEIGHT;
  const at = [{ date: last.date, value: below ? lowest : highest, text: place }];
  const arrow = below && near.some(({ state }) => state === "below") ? 10 : 0;
  const mark = { align: "right", dx: 6, dy: below ? 12 + arrow : -12, fontWeight: "bold", fill: INK.ink };
  return texts(at, "text", mark, { x, y });
}

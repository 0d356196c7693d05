import { axisTicks } from "../trace/trace-paths.js";
import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

/** One value with its interval, on a row of its own. */
export interface IntervalRow {
  readonly name: string;
  /** The point on the bar; undefined for a mere interval. */
  readonly value?: number;
  readonly low: number;
  readonly high: number;
  readonly color: string;
  /** Drawn as an open ring: set aside, failed or less trusted. */
  readonly open?: boolean;
  /** Places on the row that are worth a name, such as what a value would mean. */
  readonly marks?: readonly { readonly at: number; readonly name: string }[];
}

/** An upright line over all rows with its name above. */
export interface NamedLine {
  readonly at: number;
  readonly name: string;
}

export interface IntervalRowsOptions {
  /** With its unit. */
  readonly title: string;
  readonly lines?: readonly NamedLine[];
  /** A shaded stretch; an open end reaches the edge. */
  readonly shaded?: { readonly low: number; readonly high: number };
}

const ROW = 26;
const WIDTH = 430;

/** Values below each other with bars for their intervals, and the lines that they are to be compared with. */
export function intervalRowsChart(rows: readonly IntervalRow[], options: IntervalRowsOptions): ChartSpec {
  const { title, lines = [], shaded } = options;
  const height = ROW * rows.length;
  const domain = domainOf(rows, lines);
  const ticks = axisTicks(domain[0], domain[1], 6);
  const x = {
    field: "value",
    type: "quantitative",
    scale: { domain, nice: false, zero: false },
    axis: { title, values: ticks.at, format: `.${ticks.decimals}f` },
  };
  const scale = { domain: rows.map(({ name }) => name) };
  const axis = { title: null, labelColor: INK.ink, labelLimit: 220, domain: false, ticks: false };
  const y = { field: "name", type: "nominal", scale, sort: null, axis };
  const clamped = rows.map((row) => ({
    ...row,
    low: Math.max(row.low, domain[0]),
    high: Math.min(row.high, domain[1]),
  }));
  return chartSpec({
    width: WIDTH,
    height,
    layer: [
      ...shadedPart(shaded, domain, x, height),
      ...lines.flatMap((line) => namedLine(line, domain, x)),
      ...clamped.flatMap((row) => rowMarks(row, x, y)),
    ],
  });
}

function domainOf(rows: readonly IntervalRow[], lines: readonly NamedLine[]): readonly [number, number] {
  const places = [
    ...rows.flatMap(({ value, low, high, marks = [] }) => [value, low, high, ...marks.map(({ at }) => at)]),
    ...lines.map(({ at }) => at),
  ].filter((at): at is number => at !== undefined && Number.isFinite(at));
  const [least, most] = [Math.min(...places), Math.max(...places)];
  const margin = 0.06 * (most - least || Math.abs(most) || 1);
  return [least - margin, most + margin];
}

function shadedPart(
  shaded: IntervalRowsOptions["shaded"],
  domain: readonly [number, number],
  x: SpecPart,
  height: number,
): readonly SpecPart[] {
  if (shaded === undefined) return [];
  const [value, end] = [Math.max(shaded.low, domain[0]), Math.min(shaded.high, domain[1])];
  const mark = { type: "rect", color: INK.soft, opacity: 0.12, y: 0, y2: height };
  return end > value
    ? [{ data: { values: [{ value, end }] }, mark, encoding: { x, x2: { field: "end" } } }]
    : [];
}

/** The name stands on the side of its line where there is more room. */
function namedLine({ at, name }: NamedLine, [low, high]: readonly [number, number], x: SpecPart) {
  const values = [{ value: at, name }];
  const side = at > 0.5 * (low + high) ? { align: "right", dx: 3 } : { align: "left", dx: -3 };
  const rule = { type: "rule", color: INK.soft, strokeWidth: 1, strokeDash: [3, 3], y: -4, y2: "height" };
  return [
    { data: { values }, mark: rule, encoding: { x } },
    texts(values, "name", { ...side, y: -11, fill: INK.soft, fontSize: 10.5 }, { x }),
  ];
}

function rowMarks(row: IntervalRow, x: SpecPart, y: SpecPart): readonly SpecPart[] {
  const data = { values: [row] };
  const rule = { type: "rule", color: row.color, strokeWidth: 1.6, clip: true };
  const fill = row.open ? INK.paper : row.color;
  const point = {
    type: "point",
    shape: "circle",
    size: 52,
    opacity: 1,
    fill,
    stroke: INK.ink,
    strokeWidth: 1,
  };
  const marks = (row.marks ?? []).map(({ at, name }) => ({ value: at, mark: name, name: row.name }));
  const tick = { type: "tick", orient: "vertical", color: INK.ink, thickness: 2, size: 14, opacity: 1 };
  return [
    { data, mark: rule, encoding: { x: { ...x, field: "low" }, x2: { field: "high" }, y } },
    ...(row.value === undefined ? [] : [{ data, mark: point, encoding: { x, y } }]),
    ...(marks.length === 0 ? [] : [{ data: { values: marks }, mark: tick, encoding: { x, y } }]),
  ];
}

import type { FigureTrend } from "../../batch/figure-trend.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { axisTicks } from "../trace/trace-paths.js";
import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

const WIDTH = 560;
const HEIGHT = 170;
/** More names than this would cover each other. */
const MOST_NAMES = 8;

interface Shown {
  readonly run: number;
  readonly y: number;
  readonly warned: boolean;
  readonly shape: string;
  readonly name: string;
}

/**
 * A figure over the run order: samples as circles, standards as squares, everything else as diamonds; the median as a
 * line, the warning limits as a band, and what lies outside as rings with their names. Undefined where no injection
 * shows the figure.
 */
export function trendChart(trend: FigureTrend): ChartSpec | undefined {
  const rows = trend.points.flatMap((point) => shownPoint(point));
  if (rows.length === 0) return undefined;
  const { warning, median } = trend;
  const limits = warning === undefined ? [] : [warning.low, warning.high];
  const values = [...rows.map(({ y }) => y), ...limits];
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const margin = 0.1 * (most - least || Math.abs(most) || 1);
  const domain = [least - margin, most + margin];
  const ticks = axisTicks(domain[0], domain[1], 5);
  const x = {
    field: "run",
    type: "quantitative",
    scale: { domain: [0, trend.points[trend.points.length - 1].run + 1], nice: false },
    axis: { title: "injection in run order", tickCount: 8, format: "d" },
  };
  const title =
    trend.unit === "1" || trend.unit === "" ? trend.name : `${trend.name} / ${bracketed(trend.unit)}`;
  const y = {
    field: "y",
    type: "quantitative",
    scale: { domain, nice: false, zero: false },
    axis: { title, values: ticks.at, format: `.${ticks.decimals}f`, titleLimit: HEIGHT + 30 },
  };
  return chartSpec({
    width: WIDTH,
    height: HEIGHT,
    layer: [
      ...(warning === undefined ? [] : [limitBand(warning, y)]),
      ...(median === undefined ? [] : [level(median, y)]),
      points(rows, COLORS[ionColor(trend.ion)].fill, x, y),
      ...names(rows, x, y),
    ],
  });
}

function bracketed(unit: string): string {
  return unit.includes("/") ? `(${unit})` : unit;
}

const SHAPES: Readonly<Record<string, string>> = { sample: "circle", standard: "square" };

function shownPoint({
  run,
  value,
  warned,
  kind,
  injection,
}: FigureTrend["points"][number]): readonly Shown[] {
  if (value === undefined) return [];
  return [{ run, y: value, warned, shape: SHAPES[kind] ?? "diamond", name: injection }];
}

function limitBand({ low, high }: { low: number; high: number }, y: SpecPart): SpecPart {
  const mark = { type: "rect", color: INK.soft, opacity: 0.12, x: 0, x2: WIDTH };
  return {
    data: { values: [{ low, high }] },
    mark,
    encoding: { y: { ...y, field: "low" }, y2: { field: "high" } },
  };
}

function level(at: number, y: SpecPart): SpecPart {
  const mark = { type: "rule", color: INK.soft, strokeWidth: 1, x: 0, x2: WIDTH };
  return { data: { values: [{ y: at }] }, mark, encoding: { y } };
}

function points(rows: readonly Shown[], color: string, x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values: rows },
    mark: { type: "point", opacity: 1, stroke: INK.ink, strokeWidth: 1 },
    encoding: {
      x,
      y,
      size: { condition: { test: "datum.warned", value: 75 }, value: 36 },
      shape: { field: "shape", type: "nominal", scale: null },
      fill: { condition: { test: "datum.warned", value: INK.paper }, value: color },
    },
  };
}

function names(rows: readonly Shown[], x: SpecPart, y: SpecPart): readonly SpecPart[] {
  const warned = rows.filter((row) => row.warned);
  if (warned.length === 0 || warned.length > MOST_NAMES) return [];
  const end = rows[rows.length - 1].run;
  const place = (row: Shown) => (row.run > 0.85 * end ? "right" : "left");
  return (["left", "right"] as const).map((align) =>
    texts(
      warned.filter((row) => place(row) === align),
      "name",
      { align, dx: align === "left" ? 8 : -8, fontSize: 10.5 },
      { x, y },
    ),
  );
}

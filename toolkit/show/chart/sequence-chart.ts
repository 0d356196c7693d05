import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

/** A quantity over the places of a run. */
export interface SequencePlot {
  readonly points: readonly {
    readonly position: number;
    readonly value: number;
    readonly passed: boolean;
    readonly label?: string;
  }[];
  /** Drawn through: a trend or the checks joined. */
  readonly line: readonly { readonly position: number; readonly value: number }[];
  /** Dashed: what is let pass. */
  readonly limits: readonly number[];
  readonly title: string;
  readonly positionTitle: string;
  readonly color: string;
  readonly width?: number;
}

/** Points over a run with limits and a line; a point out of limits is an open cross with its name. */
export function sequenceChart(plot: SequencePlot): ChartSpec {
  const { points, line, limits, color } = plot;
  const values = [...points.map(({ value }) => value), ...line.map(({ value }) => value), ...limits];
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const room = 0.12 * (high - low || Math.abs(high) || 1);
  const positions = points.map(({ position }) => position);
  const [first, last] = [Math.min(...positions), Math.max(...positions)];
  const side = 0.04 * (last - first || 1);
  const x: SpecPart = {
    field: "position",
    type: "quantitative",
    scale: { domain: [first - side, last + side], nice: false, zero: false },
    axis: { title: plot.positionTitle, tickCount: 8, tickMinStep: 1 },
  };
  const y: SpecPart = {
    field: "value",
    type: "quantitative",
    scale: { domain: [low - room, high + room], nice: false, zero: false },
    axis: { title: plot.title, tickCount: 5 },
  };
  const dashed = { type: "rule", color: INK.soft, strokeDash: [4, 3], strokeWidth: 1 };
  const named = points.filter(({ passed, label }) => !passed && label !== undefined);
  return chartSpec({
    width: plot.width ?? 460,
    height: 170,
    layer: [
      { data: { values: limits.map((value) => ({ value })) }, mark: dashed, encoding: { y } },
      { data: { values: line }, mark: { type: "line", color: INK.ink, strokeWidth: 1 }, encoding: { x, y } },
      {
        data: { values: points },
        mark: { type: "point", stroke: INK.ink, strokeWidth: 1.1, opacity: 1 },
        encoding: {
          x,
          y,
          size: { condition: { test: "datum.passed", value: 42 }, value: 80 },
          shape: { condition: { test: "datum.passed", value: "circle" }, value: "cross" },
          fill: { condition: { test: "datum.passed", value: color }, value: INK.paper },
        },
      },
      texts(named, "label", { dy: -12, fontSize: 10, fill: INK.soft }, { x, y }),
    ],
  });
}

import type { LinearRange } from "../../calibration/linear-range.js";
import { axisTicks } from "../trace/trace-paths.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

const WIDTH = 430;
const HEIGHT = 170;

/**
 * Response factors over a logarithmic concentration axis as deviations from the middle levels; the plateau that is
 * allowed as a band over the accepted range, levels beyond it as rings.
 *
 * @param allowed largest deviation of an accepted level, %
 */
export function rangeChart({ levels, low, high }: LinearRange, allowed: number): ChartSpec {
  const concentrations = levels.map(({ concentration }) => concentration);
  const ends = [Math.min(...concentrations) / 1.4, Math.max(...concentrations) * 1.4];
  const deviations = levels.map(({ deviationPercent }) => deviationPercent);
  const reach = 1.15 * Math.max(allowed, ...deviations.map(Math.abs));
  const ticks = axisTicks(-reach, reach, 5);
  const x: SpecPart = {
    field: "x",
    type: "quantitative",
    scale: { type: "log", domain: ends, nice: false },
    axis: { title: "concentration / (mg/L)", values: levelTicks(concentrations), format: "~g" },
  };
  const y: SpecPart = {
    field: "y",
    type: "quantitative",
    scale: { domain: [-reach, reach], nice: false },
    axis: {
      title: "response factor, deviation / %",
      values: ticks.at,
      format: `+.${ticks.decimals}f`,
      titleLimit: HEIGHT + 40,
    },
  };
  const points = levels.map(({ concentration, deviationPercent, accepted }) => ({
    x: concentration,
    y: deviationPercent,
    accepted,
  }));
  return chartSpec({
    width: WIDTH,
    height: HEIGHT,
    layer: [
      ...plateau({ low, high, allowed }, x, y),
      {
        data: { values: [{ y: 0 }] },
        mark: { type: "rule", color: INK.soft, strokeWidth: 1, strokeDash: [3, 3], x: 0, x2: WIDTH },
        encoding: { y },
      },
      {
        data: { values: points },
        mark: { type: "line", color: INK.soft, strokeWidth: 1 },
        encoding: { x, y },
      },
      levelMarks(points, x, y),
    ],
  });
}

/** The levels themselves as ticks, those too near to the one before left out. */
function levelTicks(concentrations: readonly number[]): readonly number[] {
  const sorted = [...concentrations].sort((a, b) => a - b);
  const room = (sorted[sorted.length - 1] / sorted[0]) ** (1 / 12);
  let last = 0;
  return sorted.filter((at) => {
    if (at < last * room) return false;
    last = at;
    return true;
  });
}

function plateau(
  { low, high, allowed }: { low: number; high: number; allowed: number },
  x: SpecPart,
  y: SpecPart,
): readonly SpecPart[] {
  if (!(high > low)) return [];
  return [
    {
      data: { values: [{ x: low / 1.06, end: high * 1.06, y: -allowed, top: allowed }] },
      mark: { type: "rect", color: INK.soft, opacity: 0.14 },
      encoding: { x, x2: { field: "end" }, y, y2: { field: "top" } },
    },
  ];
}

function levelMarks(points: readonly object[], x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values: points },
    mark: { type: "point", shape: "circle", size: 60, opacity: 1, stroke: INK.ink, strokeWidth: 1.2 },
    encoding: { x, y, fill: { condition: { test: "datum.accepted", value: INK.ink }, value: INK.paper } },
  };
}

import type { LinearRange } from "../../calibration/range/linear-range.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { axisTicks } from "../trace/trace-paths.js";
import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

const WIDTH = 430;
const HEIGHT = 170;

/**
 * Response factors over a logarithmic concentration axis as deviations from the middle levels; the plateau that is
 * allowed as a band over the accepted range, levels beyond it as rings.
 *
 * @param allowed largest deviation of an accepted level, %
 */
export function rangeChart({ levels, low, high, ion, unit }: LinearRange, allowed: number): ChartSpec {
  const concentrations = levels.map(({ concentration }) => concentration);
  const ends = [Math.min(...concentrations) / 1.4, Math.max(...concentrations) * 1.4];
  const deviations = levels.map(({ deviationPercent }) => deviationPercent);
  const reach = 1.15 * Math.max(allowed, ...deviations.map(Math.abs));
  const ticks = axisTicks(-reach, reach, 5);
  const x: SpecPart = {
    field: "x",
    type: "quantitative",
    scale: { type: "log", domain: ends, nice: false },
    axis: {
      title: `${ion ?? "concentration"} / (${unit})`,
      values: levelTicks(concentrations),
      format: "~g",
    },
  };
  const y: SpecPart = {
    field: "y",
    type: "quantitative",
    scale: { domain: [-reach, reach], nice: false },
    axis: {
      title: "response factor, deviation / %",
      values: ticks.at,
      labelExpr: `datum.value === 0 ? "0" : format(datum.value, "+.${ticks.decimals}f")`,
      titleLimit: HEIGHT + 40,
    },
  };
  const points = levels.map(({ concentration, deviationPercent, accepted, reasons }) => ({
    x: concentration,
    y: deviationPercent,
    accepted,
    why: shortReason(reasons),
  }));
  const aside = points.filter(({ accepted }) => !accepted);
  const color = ion === undefined ? INK.ink : COLORS[ionColor(ion)].fill;
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
      levelMarks(points, color, x, y),
      ...saidOnce(aside, Math.sqrt(ends[0] * ends[1])).map((point) =>
        texts([point], "why", reasonPlace(point, ends, reach), { x, y }),
      ),
    ],
  });
}

/** What set a level aside, in a word or two. */
function shortReason(reasons: readonly string[]): string {
  const all = reasons.join("; ");
  if (all.includes("looks like")) return "slip?";
  if (all.includes("overloaded")) return "overloaded";
  if (all.includes("quantification limit")) return "below quantification";
  if (all.includes("curved")) return "curved";
  if (all.includes("beyond")) return "beyond";
  return reasons.length === 0 ? "" : "off the plateau";
}

/** Of levels set aside for one reason in a row the one nearest to the middle: the same words would cover each other. */
function saidOnce<Point extends { readonly x: number; readonly why: string }>(
  aside: readonly Point[],
  middle: number,
): readonly Point[] {
  return aside.filter((point, index) => {
    const inner = aside[point.x > middle ? index - 1 : index + 1];
    const sameSide = inner !== undefined && inner.x > middle === point.x > middle;
    return !(sameSide && inner.why === point.why);
  });
}

/** Above its ring, inwards; beside it where it lies so low that the line to it falls past the words. */
function reasonPlace(point: { x: number; y: number }, ends: readonly number[], reach: number): SpecPart {
  const share = Math.log(point.x / ends[0]) / Math.log(ends[1] / ends[0]);
  const align = share > 0.75 ? "right" : share < 0.25 ? "left" : "center";
  const beside = Math.abs(point.y) > 0.5 * reach && align !== "center";
  const side = { left: 1, right: -1, center: 0 }[align];
  return { align, dx: (beside ? 10 : -4) * side, dy: beside ? 0 : -14, fill: INK.soft, fontSize: 10.5 };
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

function levelMarks(points: readonly object[], color: string, x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values: points },
    mark: { type: "point", shape: "circle", size: 60, opacity: 1, stroke: INK.ink, strokeWidth: 1.2 },
    encoding: { x, y, fill: { condition: { test: "datum.accepted", value: color }, value: INK.paper } },
  };
}

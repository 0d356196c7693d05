import type { PowerCurve } from "../../limits/power-curve.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { limitText, quantity, trimmed } from "../text/numbers.js";
import { axisTicks } from "../trace/trace-paths.js";
import { band, texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

const WIDTH = 430;
const HEIGHT = 210;

/** A place on the curve that has a name. */
interface Mark {
  readonly x: number;
  readonly y: number;
  readonly text: string;
}

/**
 * Probability of detection against content with the band that σ leaves open; marked are α at zero, the critical value and
 * the detection limit with its 1 − β.
 */
export function powerChart(curve: PowerCurve): ChartSpec {
  const { ion, unit, points, alpha, beta, criticalValue, detectionLimit } = curve;
  const most = Math.max(...points.map(({ concentration }) => concentration), detectionLimit * 1.2);
  const ticks = axisTicks(0, most, 6);
  const x: SpecPart = {
    field: "x",
    type: "quantitative",
    scale: { domain: [0, most], nice: false },
    axis: {
      title: `${ion ?? "content"} above the blank / (${unit})`,
      values: ticks.at,
      format: `.${ticks.decimals}f`,
    },
  };
  const y: SpecPart = {
    field: "y",
    type: "quantitative",
    scale: { domain: [0, 100], nice: false },
    axis: { title: "detected / %", values: [0, 25, 50, 75, 100], grid: true },
  };
  const percent = (share: number) => quantity(trimmed(100 * share, 3), "%");
  const rows = [...points]
    .sort((a, b) => a.concentration - b.concentration)
    .map(({ concentration, probability, low, high }) => ({
      x: concentration,
      y: 100 * probability,
      low: 100 * low,
      high: 100 * high,
    }));
  const atCritical = curve.at(criticalValue).probability;
  const marks: readonly Mark[] = [
    { x: 0, y: 100 * alpha, text: `α = ${percent(alpha)} of blanks` },
    {
      x: criticalValue,
      y: 100 * atCritical,
      text: `critical value ${quantity(limitText(criticalValue), unit)}: ${percent(Number(atCritical.toFixed(2)))}`,
    },
    {
      x: detectionLimit,
      y: 100 * (1 - beta),
      text: `detection limit ${quantity(limitText(detectionLimit), unit)}: missed with β = ${percent(beta)}`,
    },
  ];
  const color = COLORS[ionColor(ion ?? "")].fill;
  return chartSpec({
    width: WIDTH,
    height: HEIGHT,
    layer: [
      band(rows, color, x, y),
      drops(marks, x, y),
      {
        data: { values: rows },
        mark: { type: "line", color: INK.ink, strokeWidth: 1.4, clip: true },
        encoding: { x, y },
      },
      {
        data: { values: marks },
        mark: {
          type: "point",
          shape: "circle",
          size: 60,
          fill: color,
          stroke: INK.ink,
          strokeWidth: 1,
          opacity: 1,
        },
        encoding: { x, y },
      },
      ...names(marks, x, y),
    ],
  });
}

/** From each mark down to the axis. */
function drops(marks: readonly Mark[], x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values: marks.map((mark) => ({ ...mark, zero: 0 })) },
    mark: { type: "rule", color: INK.soft, strokeWidth: 1, strokeDash: [1.5, 2.5] },
    encoding: { x, y: { ...y, field: "zero" }, y2: { field: "y" } },
  };
}

/** Right of the marks, below the curve, where there is nothing else; α on a leader beyond the critical value. */
function names(marks: readonly Mark[], x: SpecPart, y: SpecPart): readonly SpecPart[] {
  const [blanks, critical, ...others] = marks;
  const beyond = { ...blanks, x: 1.15 * critical.x };
  const leader = { ...blanks, end: beyond.x };
  const place = { align: "left", fill: INK.ink, fontSize: 10.5 };
  return [
    {
      data: { values: [leader] },
      mark: { type: "rule", color: INK.soft, strokeWidth: 1, strokeDash: [1.5, 2.5] },
      encoding: { x, x2: { field: "end" }, y },
    },
    ...haloed(beyond, { ...place, dx: 4 }, { x, y }),
    ...[critical, ...others].flatMap((mark) => haloed(mark, { ...place, dx: 10, dy: 15 }, { x, y })),
  ];
}

/** A text with a thin halo that hugs its letters: it keeps lines out and leaves the band beside it alone. */
function haloed(mark: Mark, place: SpecPart, encoding: SpecPart): readonly SpecPart[] {
  const halo = { ...place, fill: INK.paper, stroke: INK.paper, strokeWidth: 3.5, strokeJoin: "round" };
  return [texts([mark], "text", halo, encoding), texts([mark], "text", place, encoding)];
}

import type { AdditionStudy } from "../../calibration/addition/addition-study.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { ionFormula } from "../text/ion-names.js";
import { quantity, significant } from "../text/numbers.js";
import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

/** The line of a standard addition back to zero response, and the content with its interval where it meets it. */
export function additionChart(study: AdditionStudy, width = 420): ChartSpec {
  const { points, intercept, slope, concentration, unit, ion } = study;
  const color = COLORS[ionColor(ion ?? "")].fill;
  const { low, high } = study.interval ?? concentration.interval();
  const [left, right] = [
    -Math.max(high, concentration.value) * 1.12,
    Math.max(...points.map((p) => p.added)) * 1.06,
  ];
  const top = Math.max(...points.map(({ response }) => response)) * 1.1;
  const name = ion === undefined ? undefined : ionFormula(ion);
  const title = `${name === undefined ? "" : `${name} `}added / (${unit})`;
  const x: SpecPart = {
    field: "x",
    type: "quantitative",
    scale: { domain: [left, right], nice: false },
    axis: { title, tickCount: 7 },
  };
  const y: SpecPart = {
    field: "y",
    type: "quantitative",
    scale: { domain: [-0.13 * top, top], nice: false },
    axis: { title: "response", tickCount: 5 },
  };
  const ends = [-concentration.value, right].map((at) => ({ x: at, y: intercept + slope * at }));
  const label = { x: -concentration.value, y: 0, text: quantity(significant(concentration.value, 4), unit) };
  return chartSpec({
    width,
    height: 220,
    layer: [
      {
        data: { values: [{ y: 0 }] },
        mark: { type: "rule", color: INK.soft, strokeWidth: 0.8 },
        encoding: { y },
      },
      {
        data: { values: [{ x: 0 }] },
        mark: { type: "rule", color: INK.hair, strokeWidth: 1 },
        encoding: { x },
      },
      { data: { values: ends }, mark: { type: "line", color: INK.ink, strokeWidth: 1 }, encoding: { x, y } },
      {
        data: { values: [{ x: -high, x2: -low, y: 0 }] },
        mark: { type: "rule", color, strokeWidth: 6, opacity: 0.55 },
        encoding: { x, x2: { field: "x2" }, y },
      },
      {
        data: { values: points.map(({ added, response }) => ({ x: added, y: response })) },
        mark: {
          type: "point",
          filled: true,
          fill: color,
          stroke: INK.ink,
          strokeWidth: 1,
          size: 42,
          opacity: 1,
        },
        encoding: { x, y },
      },
      texts([label], "text", { dy: 13, align: "left", dx: -14, fill: INK.ink }, { x, y }),
    ],
  });
}

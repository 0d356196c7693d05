import type { GranAlkalinity } from "../../water/alkalinity/gran-alkalinity.js";
import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

/** Free acid against acid added: the used readings filled, the line drawn back to the equivalence volume. */
export function granChart(gran: GranAlkalinity, width = 420): ChartSpec {
  const { points, intercept, slope, equivalenceVolume } = gran;
  const end = equivalenceVolume.value;
  const right = Math.max(...points.map(({ volume }) => volume));
  const used = points.filter((point) => point.used);
  const top = Math.max(...used.map(({ free }) => 1000 * free)) * 1.12;
  const inside = points.filter(({ free }) => 1000 * free <= top);
  const left = Math.min(0, end);
  const x: SpecPart = {
    field: "x",
    type: "quantitative",
    scale: { domain: [left, right * 1.04], nice: false },
    axis: { title: "acid added / mL", tickCount: 7 },
  };
  const y: SpecPart = {
    field: "y",
    type: "quantitative",
    scale: { domain: [0, top], nice: false },
    axis: { title: "free acid / µmol", tickCount: 5 },
  };
  const last = Math.min(right, (top / 1000 - intercept) / slope);
  const line = [end, last].map((at) => ({ x: at, y: 1000 * (intercept + slope * at) }));
  const dots = (filled: boolean): SpecPart => ({
    data: {
      values: inside
        .filter((point) => point.used === filled)
        .map(({ volume, free }) => ({ x: volume, y: 1000 * free })),
    },
    mark: {
      type: "point",
      filled: true,
      fill: filled ? INK.ink : INK.paper,
      stroke: INK.ink,
      strokeWidth: 1,
      size: 42,
      opacity: 1,
    },
    encoding: { x, y },
  });
  const label = { x: end, y: 0.12 * top, text: `${end.toFixed(3)} mL` };
  return chartSpec({
    width,
    height: 200,
    layer: [
      { data: { values: line }, mark: { type: "line", color: INK.ink, strokeWidth: 1 }, encoding: { x, y } },
      {
        data: { values: [{ x: end }] },
        mark: { type: "rule", color: INK.soft, strokeWidth: 0.8, strokeDash: [3, 3] },
        encoding: { x },
      },
      dots(false),
      dots(true),
      texts([label], "text", { align: "right", dx: -6, fill: INK.ink }, { x, y }),
    ],
  });
}

import type { Separation } from "../../separation/separation.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { ionFormula } from "../text/ion-names.js";
import { textWidth } from "../trace/label-places.js";
import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK } from "./spec.js";

const WIDTH = 560;
const HEIGHT = 150;
const NAME_SIZE = 10.5;
const NAME_ROW = 13;

/** Predicted peaks at their places and widths, Gaussian and of equal area: a plan, no record. */
export function separationChart({ peaks, end }: Separation): ChartSpec {
  const high = Math.max(...peaks.map(({ sigma }) => 1 / sigma));
  const names = peaks.map(({ ion }) => ionFormula(ion) ?? ion);
  const place = (time: number) => (WIDTH * time) / end;
  const rows = nameRows(
    peaks.map(({ retentionTime }) => place(retentionTime)),
    names,
  );
  const most = Math.max(...rows) + 1;
  const x = {
    field: "t",
    type: "quantitative",
    scale: { domain: [0, end], nice: false },
    axis: { title: "time / min", tickCount: 8 },
  };
  const scale = { domain: [0, 1 + (NAME_ROW * most + 8) / HEIGHT], nice: false };
  const y = { field: "y", type: "quantitative", scale, axis: null };
  return chartSpec({
    width: WIDTH,
    height: HEIGHT + NAME_ROW * most,
    layer: [
      ...peaks.map(({ ion, retentionTime, sigma }) => ({
        data: { values: gaussian(retentionTime, sigma, high) },
        mark: {
          type: "area",
          color: COLORS[ionColor(ion)].fill,
          fillOpacity: 0.35,
          line: { color: INK.ink, strokeWidth: 1 },
          clip: true,
        },
        encoding: { x, y },
      })),
      texts(
        peaks.map(({ retentionTime }, index) => ({
          t: retentionTime,
          name: names[index],
          y: NAME_ROW * (most - 1 - rows[index]) + 6,
        })),
        "name",
        { fontSize: NAME_SIZE },
        { x, y: { field: "y", type: "quantitative", scale: null, axis: null } },
      ),
    ],
    resolve: { scale: { y: "independent" } },
  });
}

/** The row of each name, from the bottom: the first in which it covers no other. */
function nameRows(places: readonly number[], names: readonly string[]): readonly number[] {
  const ends: number[] = [];
  return places.map((place, index) => {
    const half = 0.5 * textWidth(names[index], NAME_SIZE) + 3;
    let row = 0;
    while (row < ends.length && ends[row] > place - half) row += 1;
    ends[row] = place + half;
    return row;
  });
}

const REACH = 4;
const STEPS = 60;

function gaussian(middle: number, sigma: number, high: number): readonly { t: number; y: number }[] {
  return Array.from({ length: STEPS + 1 }, (_, index) => {
    const z = -REACH + (2 * REACH * index) / STEPS;
    return { t: middle + z * sigma, y: Math.exp(-0.5 * z * z) / (sigma * high) };
  });
}

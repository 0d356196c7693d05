import type { BlankWatch } from "../../limits/blank-watch-types.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { limitText, quantity } from "../text/numbers.js";
import { axisTicks } from "../trace/trace-paths.js";
import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

const WIDTH = 460;
const HEIGHT = 180;
/** Places left free between the earlier blanks and the new ones. */
const GAP = 1;

interface Dot {
  readonly place: number;
  readonly value: number;
  readonly set: "earlier" | "new";
  readonly above: boolean;
}

/**
 * Blanks in their order: those that the limits rest on as hollow squares, the new ones as filled circles, larger and with
 * a cross where they lie above the critical value, which is dashed; the mean of either set as a line. Undefined where there
 * is no blank.
 */
export function blankWatchChart(watch: BlankWatch): ChartSpec | undefined {
  const dots = dotsOf(watch);
  if (dots.length === 0) return undefined;
  const { criticalValue, unit, ion } = watch;
  const values = [...dots.map(({ value }) => value), criticalValue];
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const room = 0.14 * (high - low || Math.abs(high) || 1);
  const domain = [low - room, high + room];
  const ticks = axisTicks(domain[0], domain[1], 5);
  const last = dots[dots.length - 1].place;
  const x: SpecPart = {
    field: "place",
    type: "quantitative",
    scale: { domain: [0, last + 1], nice: false },
    axis: { title: "blanks in their order", labels: false, ticks: false },
  };
  const y: SpecPart = {
    field: "value",
    type: "quantitative",
    scale: { domain, nice: false, zero: false },
    axis: {
      title: `${ion ?? "blank"} / (${unit})`,
      values: ticks.at,
      format: `.${ticks.decimals}f`,
    },
  };
  return chartSpec({
    width: WIDTH,
    height: HEIGHT,
    layer: [
      ...criticalLine(criticalValue, unit, last, x, y),
      ...means(dots, x, y),
      ...divider(watch, x),
      points(dots, COLORS[ionColor(ion ?? "")].fill, x, y),
    ],
  });
}

function dotsOf({ earlier, blanks, criticalValue }: BlankWatch): readonly Dot[] {
  const first = earlier.length === 0 ? 1 : earlier.length + 1 + GAP;
  return [
    ...earlier.map(
      (value, i): Dot => ({ place: i + 1, value, set: "earlier", above: value > criticalValue }),
    ),
    ...blanks.map(({ value, above }, i): Dot => ({ place: first + i, value, set: "new", above })),
  ];
}

function criticalLine(
  value: number,
  unit: string,
  last: number,
  x: SpecPart,
  y: SpecPart,
): readonly SpecPart[] {
  const row = { place: last + 1, value, text: `critical value ${quantity(limitText(value), unit)}` };
  return [
    {
      data: { values: [row] },
      mark: { type: "rule", color: INK.soft, strokeDash: [4, 3], strokeWidth: 1 },
      encoding: { y },
    },
    texts([row], "text", { align: "left", dx: 5, fontSize: 10.5, fill: INK.ink }, { x, y }),
  ];
}

/** The mean of either set over the places it takes. */
function means(dots: readonly Dot[], x: SpecPart, y: SpecPart): readonly SpecPart[] {
  const lines = (["earlier", "new"] as const).flatMap((set) => {
    const own = dots.filter((dot) => dot.set === set);
    if (own.length === 0) return [];
    const value = own.reduce((sum, dot) => sum + dot.value, 0) / own.length;
    return [{ value, place: own[0].place - 0.4, end: own[own.length - 1].place + 0.4 }];
  });
  return [
    {
      data: { values: lines },
      mark: { type: "rule", color: INK.ink, strokeWidth: 1 },
      encoding: { x, x2: { field: "end" }, y },
    },
  ];
}

function divider({ earlier, blanks }: BlankWatch, x: SpecPart): readonly SpecPart[] {
  if (earlier.length === 0 || blanks.length === 0) return [];
  const at = earlier.length + (1 + GAP) / 2;
  const row = { place: at, before: "the limits rest on ◂", after: "▸ new" };
  return [
    {
      data: { values: [row] },
      mark: { type: "rule", color: INK.soft, strokeWidth: 1, strokeDash: [1.5, 2.5] },
      encoding: { x },
    },
    texts([row], "before", { align: "right", dx: -5, fontSize: 10.5, fill: INK.soft, y: HEIGHT - 8 }, { x }),
    texts([row], "after", { align: "left", dx: 5, fontSize: 10.5, fill: INK.soft, y: HEIGHT - 8 }, { x }),
  ];
}

function points(dots: readonly Dot[], color: string, x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values: dots },
    mark: { type: "point", stroke: INK.ink, strokeWidth: 1.1, opacity: 1 },
    encoding: {
      x,
      y,
      size: { condition: { test: "datum.above && datum.set === 'new'", value: 90 }, value: 42 },
      shape: {
        condition: [
          { test: "datum.set === 'earlier'", value: "square" },
          { test: "datum.above", value: "cross" },
        ],
        value: "circle",
      },
      fill: { condition: { test: "datum.set === 'earlier'", value: INK.paper }, value: color },
    },
  };
}

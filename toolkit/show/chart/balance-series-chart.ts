import type { BalanceSeries, SeriesBalance } from "../../water/diagrams/balance-series.js";
import { groupSymbol, symbolsFor } from "../color/group-symbols.js";
import { expanded } from "../text/measured-text.js";
import { signed } from "../text/numbers.js";
import { textWidth } from "../trace/label-places.js";
import { countedGroup, haloed, keyLayers, symbolLayer } from "./diagram-marks.js";
import { texts } from "./marks.js";
import { pixelPlane, type Segment, segments } from "./pixel-plane.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";
import { spreadLabels } from "./spread-labels.js";

const LEFT = 54;
const RIGHT = 100;
const PANEL = 230;
const TOP = 24;
/** More names than this do not fit below. */
const MOST_NAMES = 40;
/** The scale reaches at least this far on both sides, %. */
const LEAST_REACH = 3;
/** A limit farther out than this does not widen the scale, %. */
const WIDE_LIMIT = 6;

/** The panel: charges or order to px, percent to px. */
interface Panel {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly foot: number;
  readonly reach: number;
  readonly at: (point: SeriesBalance) => number;
  readonly px: (percent: number) => number;
}

/**
 * Percent differences of a batch with their intervals (95 %), the limits of a published rule around each, and their mean.
 * What lies beyond the scale stands at its edge with its number; what failed has its name.
 */
export function balanceSeriesChart(series: BalanceSeries, width = 640): ChartSpec {
  const names = series.against === "order" && series.points.length <= MOST_NAMES;
  const long = names ? Math.min(110, Math.max(...series.points.map(({ name }) => textWidth(name, 10)))) : 0;
  const head = series.groups.length > 0 ? TOP + 18 : TOP;
  const plane = pixelPlane(width, head + PANEL + (names ? 14 + long * 0.72 : 36));
  const panel = panelOf(series, width, head);
  const [x, y] = [plane.x(), plane.y()];
  const symbol = symbolsFor(series.groups, []);
  const shown = series.points.map((point) => ({
    x: panel.at(point),
    y: panel.px(kept(point.percentDifference.value, panel.reach)),
    name: point.name,
    symbol: symbol(point),
    open: point.open,
  }));
  return chartSpec({
    width,
    height: plane.height,
    layer: [
      ...axisLayers(series, panel, x, y),
      ...limitLayers(series, panel, x, y),
      ...meanLayers(series, panel, x, y),
      segments(
        series.points.flatMap((point) => barOf(point, panel)),
        { color: INK.ink, strokeWidth: 1 },
        x,
        y,
      ),
      ...unknownLayers(series, panel, x, y),
      symbolLayer(shown, series.points.length > 40 ? 30 : 52, x, y),
      ...outcomeLayers(series, panel, x, y),
      ...(names ? [nameLayer(series, panel, x, y)] : chargeTicks(series, panel, x, y)),
      sideWords(series, panel, x, y),
      ...keyLayers(keyOf(series, width), 140, x, y),
    ],
  });
}

/** The scale fits what is complete; a balance without a main ion may lie beyond. */
function panelOf({ points, against }: BalanceSeries, width: number, top: number): Panel {
  const complete = points.some(({ open }) => !open) ? points.filter(({ open }) => !open) : points;
  const far = complete.map(({ percentDifference, low, high }) =>
    Math.max(1.15 * Math.abs(percentDifference.value), Math.min(Math.max(-low, high), 40)),
  );
  const limits = points.flatMap(({ limit }) => (limit === undefined || limit > WIDE_LIMIT ? [] : [limit]));
  const reach = Math.min(100, 1.08 * Math.max(LEAST_REACH, ...far, ...limits));
  const [left, right, foot] = [LEFT, width - RIGHT, top + PANEL];
  const charges = points.map(({ charge }) => Math.log10(Math.max(charge, 1e-9)));
  const [low, high] = [Math.min(...charges) - 0.06, Math.max(...charges) + 0.06];
  const step = (right - left) / points.length;
  return {
    left,
    right,
    top,
    foot,
    reach,
    at: ({ order, charge }) =>
      against === "order"
        ? left + (order - 0.5) * step
        : left + ((right - left) * (Math.log10(Math.max(charge, 1e-9)) - low)) / (high - low),
    px: (percent) => top + (PANEL * (reach - percent)) / (2 * reach),
  };
}

const kept = (percent: number, reach: number): number => Math.max(-reach, Math.min(reach, percent));

function axisLayers(
  series: BalanceSeries,
  { left, right, top, foot, reach, px }: Panel,
  x: SpecPart,
  y: SpecPart,
): readonly SpecPart[] {
  const step = [1, 2, 5, 10, 20, 50].find((each) => reach / each <= 3.2) ?? 50;
  const ticks: number[] = [];
  for (let at = -Math.floor(reach / step) * step; at <= reach; at += step) ticks.push(at);
  const labels = ticks.map((at) => ({ x: left - 8, y: px(at), text: signed(at, 0) }));
  const marks = ticks.map((at) => ({ x: left - 4, x2: left, y: px(at), y2: px(at) }));
  const title = [{ x: 9, y: (top + foot) / 2, text: "100 (cations − anions)/(cations + anions) / %" }];
  const heading = series.title === "" ? [] : [{ x: left, y: 9, text: series.title }];
  const quiet = { fontSize: 10, fill: INK.soft };
  return [
    segments([{ x: left, x2: left, y: top, y2: foot }, ...marks], { color: INK.soft, strokeWidth: 1 }, x, y),
    segments([{ x: left, x2: right, y: px(0), y2: px(0) }], { color: INK.soft, strokeWidth: 1 }, x, y),
    texts(labels, "text", { ...quiet, align: "right" }, { x, y }),
    texts(title, "text", { align: "center", angle: -90, fontSize: 11, fill: INK.soft }, { x, y }),
    texts(heading, "text", { align: "left", fontSize: 12, fill: INK.ink }, { x, y }),
  ];
}

/** The limit on both sides of zero around each water, where it is on the scale. */
function limitLayers({ points }: BalanceSeries, panel: Panel, x: SpecPart, y: SpecPart): readonly SpecPart[] {
  const half = Math.min(9, (0.42 * (panel.right - panel.left)) / points.length);
  const ticks: Segment[] = points.flatMap((point) => {
    const { limit } = point;
    if (limit === undefined || limit > panel.reach) return [];
    return [limit, -limit].map((at) => ({
      x: panel.at(point) - half,
      x2: panel.at(point) + half,
      y: panel.px(at),
      y2: panel.px(at),
    }));
  });
  if (ticks.length === 0) return [];
  return [segments(ticks, { color: INK.soft, strokeWidth: 1.2, strokeDash: [2, 2] }, x, y)];
}

function meanLayers({ mean }: BalanceSeries, panel: Panel, x: SpecPart, y: SpecPart): readonly SpecPart[] {
  if (mean === undefined || Math.abs(mean.value) > panel.reach) return [];
  const { left, right, px, reach } = panel;
  const { low, high } = mean.interval();
  const band = [{ x: left, x2: right, y: px(kept(high, reach)), y2: px(kept(low, reach)) }];
  const at = px(mean.value);
  return [
    {
      data: { values: band },
      mark: { type: "rect", color: INK.soft, opacity: 0.14 },
      encoding: { x, x2: { field: "x2" }, y, y2: { field: "y2" } },
    },
    segments(
      [{ x: left, x2: right, y: at, y2: at }],
      { color: INK.ink, strokeWidth: 1, strokeDash: [5, 3] },
      x,
      y,
    ),
  ];
}

/** On the right what the lines are, and which side of zero is which; moved apart where they would touch. */
function sideWords({ mean, points }: BalanceSeries, panel: Panel, x: SpecPart, y: SpecPart): SpecPart {
  const words = [
    { at: panel.top + 6, text: "cations prevail" },
    { at: panel.foot - 6, text: "anions prevail" },
  ];
  if (mean !== undefined && Math.abs(mean.value) <= panel.reach) {
    const half = expanded(mean);
    const text = `mean ${signed(mean.value, 1)}${half > 0 ? ` ± ${half.toFixed(1)}` : ""} %`;
    words.push({ at: panel.px(mean.value), text });
  }
  const limits = points.flatMap(({ limit }) => (limit !== undefined && limit <= panel.reach ? [limit] : []));
  const limit = limits.sort((a, b) => a - b)[Math.floor(limits.length / 2)];
  if (limit !== undefined) words.push({ at: panel.px(limit), text: "limit" });
  const places = spreadLabels(
    words.map(({ at }) => at - panel.top),
    13,
    PANEL,
  );
  const values = words.map(({ text }, i) => ({ x: panel.right + 8, y: panel.top + places[i], text }));
  return texts(values, "text", { align: "left", fontSize: 10, fill: INK.soft }, { x, y });
}

function barOf(point: SeriesBalance, panel: Panel): readonly Segment[] {
  const { low, high, percentDifference } = point;
  if (!(percentDifference.u > 0) || Math.abs(percentDifference.value) > panel.reach) return [];
  const at = panel.at(point);
  return [{ x: at, x2: at, y: panel.px(kept(low, panel.reach)), y2: panel.px(kept(high, panel.reach)) }];
}

/** A short level line where the difference stands when unidentified anions count, tied to its point. */
function unknownLayers(
  { points }: BalanceSeries,
  panel: Panel,
  x: SpecPart,
  y: SpecPart,
): readonly SpecPart[] {
  const lines = points.flatMap((point) => {
    const { withUnknowns, percentDifference } = point;
    if (withUnknowns === undefined || Math.abs(withUnknowns) > panel.reach) return [];
    if (Math.abs(panel.px(withUnknowns) - panel.px(percentDifference.value)) < 2) return [];
    const [at, to] = [panel.at(point) + 5, panel.px(withUnknowns)];
    const from = panel.px(kept(percentDifference.value, panel.reach));
    return [
      { x: at, x2: at, y: from, y2: to },
      { x: at - 3, x2: at + 3, y: to, y2: to },
    ];
  });
  return lines.length === 0 ? [] : [segments(lines, { color: INK.soft, strokeWidth: 1.4 }, x, y)];
}

/** Numbers of what lies beyond the scale, and "fails" beside what fails. */
function outcomeLayers(
  { points }: BalanceSeries,
  panel: Panel,
  x: SpecPart,
  y: SpecPart,
): readonly SpecPart[] {
  const words = points.flatMap((point) => {
    const { value } = point.percentDifference;
    const beyond = Math.abs(value) > panel.reach;
    const fails = !point.passed && !point.open;
    if (!beyond && !fails) return [];
    const number = beyond ? `${value > 0 ? "↑" : "↓"} ${signed(value, 0)} %` : "";
    const text = [number, ...(fails ? ["fails"] : [])].filter((word) => word !== "").join(", ");
    return [{ x: panel.at(point), y: panel.px(kept(value, panel.reach)), text }];
  });
  const crowded = words.length > points.length / 3 && points.length > 12;
  const shown = crowded ? words.filter(({ text }) => text !== "fails") : words;
  return haloed(shown, "text", { fontSize: 10, fill: INK.ink, align: "left", dx: 8 }, { x, y });
}

function nameLayer({ points }: BalanceSeries, panel: Panel, x: SpecPart, y: SpecPart): SpecPart {
  const values = points.map((point) => ({ x: panel.at(point), y: panel.foot + 8, text: point.name }));
  const mark = { align: "right", angle: -45, fontSize: 10, fill: INK.soft, limit: 110 };
  return texts(values, "text", mark, { x, y });
}

/** Numbers below: of the charge, or of every tenth water or so. */
function chargeTicks(
  { points, against }: BalanceSeries,
  panel: Panel,
  x: SpecPart,
  y: SpecPart,
): readonly SpecPart[] {
  const { left, right, foot } = panel;
  const title = against === "order" ? "order" : "charge, mean of both sums / (meq/L)";
  const ticks = against === "order" ? orderTicks(points, panel) : logTicks(points, panel);
  const values = ticks.map((tick) => ({ ...tick, y: foot + 10 }));
  return [
    texts(values, "text", { align: "center", fontSize: 10, fill: INK.soft }, { x, y }),
    texts(
      [{ x: (left + right) / 2, y: foot + 28, text: title }],
      "text",
      { align: "center", fontSize: 11, fill: INK.soft },
      { x, y },
    ),
  ];
}

function orderTicks(points: readonly SeriesBalance[], panel: Panel) {
  const every = points.length > 200 ? 50 : points.length > 80 ? 20 : 10;
  return points
    .filter(({ order }) => order === 1 || order % every === 0)
    .map((point) => ({ x: panel.at(point), text: String(point.order) }));
}

function logTicks(points: readonly SeriesBalance[], panel: Panel) {
  const charges = points.map(({ charge }) => charge);
  const [low, high] = [Math.min(...charges), Math.max(...charges)];
  const ticks: { x: number; text: string }[] = [];
  const steps = high / low > 200 ? [1] : high / low > 8 ? [1, 2, 5] : [1, 1.5, 2, 2.5, 3, 4, 5, 6, 8];
  for (let power = Math.floor(Math.log10(low)); power <= Math.log10(high); power++)
    for (const step of steps) {
      const charge = step * 10 ** power;
      if (charge < low || charge > high) continue;
      ticks.push({ x: panel.at({ ...points[0], charge }), text: String(Number(charge.toPrecision(2))) });
    }
  return ticks;
}

function keyOf({ groups, points }: BalanceSeries, width: number) {
  const step = (width - LEFT - RIGHT) / Math.max(1, groups.length);
  return groups.map((group, i) => ({
    x: LEFT + 8 + i * Math.min(step, 150),
    y: TOP + 2,
    text: countedGroup(group, points),
    ...groupSymbol(i),
  }));
}

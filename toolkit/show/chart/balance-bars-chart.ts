import type { SampleBalance } from "../../batch/types.js";
import { exactly } from "../../uncertainty/measured.js";
import type { BalanceBar, BalanceBars, BalancePair } from "../../water/diagrams/balance-bars.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { expanded } from "../text/measured-text.js";
import { signed } from "../text/numbers.js";
import { textWidth } from "../trace/label-places.js";
import { balanceChart, groupsByScale } from "./balance-chart.js";
import { texts } from "./marks.js";
import { pixelPlane, type Segment, segments } from "./pixel-plane.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

/** More pairs than this are drawn narrow. */
const MOST_BROAD = 12;
const UNKNOWN = "unidentified";

/** Paired bars: broad ones with the names of the ions inside for a few waters, narrow ones for many. */
export function balanceBarsChart(bars: BalanceBars, width = 640): ChartSpec {
  if (bars.scale === "percent" || bars.pairs.length > MOST_BROAD) return narrowBars(bars, width);
  const panels = groupsByScale(bars.pairs.map(asSample)).map((group) => balanceChart(group, width - 80));
  if (panels.length === 1) return panels[0];
  return chartSpec({
    spacing: 14,
    vconcat: panels.map(({ width: inner, height, layer }) => ({ width: inner, height, layer })),
  });
}

/** The pair as the broad chart takes it: pieces in order, a bounded ion as long as its bound. */
function asSample({ name, parts, lacking, ...pair }: BalancePair): SampleBalance {
  const order = [...parts.filter(({ bound }) => !bound), ...parts.filter(({ bound }) => bound)];
  return {
    kind: "sample-balance",
    sample: lacking.length === 0 ? name : `${name}, without ${lacking.join(", ")}`,
    cations: pair.cations,
    anions: pair.anions,
    percentDifference: pair.percentDifference,
    unknownAnions: pair.unknownAnions,
    passed: pair.passed,
    suspects: [],
    criteria: [],
    parts: order.map(({ ion, side, milliequivalents, bound, extent }) => ({
      ion,
      side,
      bound,
      milliequivalents: bound ? exactly(extent, "meq/L") : milliequivalents,
    })),
  };
}

const ROW = 23;
const BAR = 8;
const FOOT = 34;
const RIGHT = 134;
const KEY = 17;

/** One drawn piece, px. */
interface Piece {
  readonly x: number;
  readonly x2: number;
  readonly y: number;
  readonly fill: string;
  readonly open: boolean;
}

/** Where the pairs stand, px. */
interface Layout {
  readonly left: number;
  readonly inner: number;
  readonly top: number;
  /** px of a charge in meq/L in one pair. */
  readonly px: (pair: BalancePair, charge: number) => number;
  readonly y: (index: number, side: "cation" | "anion") => number;
}

function narrowBars(bars: BalanceBars, width: number): ChartSpec {
  const { pairs } = bars;
  const key = keyRows(pairs, width);
  const layout = layoutOf(bars, width, key.height);
  const plane = pixelPlane(width, layout.top + ROW * pairs.length + FOOT);
  const [x, y] = [plane.x(), plane.y()];
  const pieces = pairs.flatMap((pair, i) => [
    ...piecesOf(pair, "cation", i, layout),
    ...piecesOf(pair, "anion", i, layout),
  ]);
  const brackets = pairs.flatMap((pair, i) => [
    ...bracketOf(pair, pair.cationBar, layout.y(i, "cation"), layout),
    ...bracketOf(pair, pair.anionBar, layout.y(i, "anion"), layout),
  ]);
  return chartSpec({
    width,
    height: plane.height,
    layer: [
      ...axisLayers(bars, layout, x, y),
      pieceLayer(pieces, x, y),
      segments(brackets, { color: INK.ink, strokeWidth: 1 }, x, y),
      ...wordLayers(pairs, layout, width, x, y),
      ...key.layers(x, y),
    ],
  });
}

function layoutOf(bars: BalanceBars, width: number, top: number): Layout {
  const { pairs, scale } = bars;
  const names = Math.max(...pairs.map(({ name }) => textWidth(name, 10.5)));
  const left = Math.min(150, Math.max(40, names + 12));
  const inner = width - left - RIGHT;
  const unit = (pair: BalancePair): number => (scale === "percent" ? Math.max(longer(pair), 1e-12) : 1);
  return {
    left,
    inner,
    top,
    px: (pair, charge) => left + (inner * charge) / unit(pair) / reachOf(bars),
    y: (index, side) => top + ROW * index + (side === "cation" ? BAR / 2 + 2 : BAR / 2 + 3 + BAR),
  };
}

/** The end of the scale: meq/L, or parts of the longer sum. */
function reachOf({ pairs, scale }: BalanceBars): number {
  const ends = pairs.map((pair) => endOf(pair) / (scale === "percent" ? Math.max(longer(pair), 1e-12) : 1));
  return Math.max(...ends, 1e-12);
}

/** The longer bar of a pair, meq/L. */
function longer({ cations, anions }: BalancePair): number {
  return Math.max(cations.value, anions.value);
}

/** Where the ink of a pair ends, meq/L. */
function endOf({ cationBar, anionBar, unknownAnions }: BalancePair): number {
  const end = ({ pieces, high }: BalanceBar) => Math.max(high, pieces[pieces.length - 1]?.to ?? 0);
  const unknown = (anionBar.pieces[anionBar.pieces.length - 1]?.to ?? 0) + (unknownAnions?.value ?? 0);
  return Math.max(end(cationBar), end(anionBar), unknown);
}

function piecesOf(
  pair: BalancePair,
  side: "cation" | "anion",
  index: number,
  layout: Layout,
): readonly Piece[] {
  const bar = side === "cation" ? pair.cationBar : pair.anionBar;
  const y = layout.y(index, side);
  const at = (charge: number) => layout.px(pair, charge);
  const drawn = bar.pieces.map(({ ion, from, to, open }) => ({
    x: at(from),
    x2: at(to),
    y,
    fill: COLORS[ionColor(ion)].fill,
    open,
  }));
  const end = bar.pieces[bar.pieces.length - 1]?.to ?? 0;
  const unknown = side === "anion" ? (pair.unknownAnions?.value ?? 0) : 0;
  if (!(unknown > 0)) return drawn;
  return [...drawn, { x: at(end), x2: at(end + unknown), y, fill: COLORS.unknown.fill, open: true }];
}

function bracketOf(
  pair: BalancePair,
  { low, high }: BalanceBar,
  y: number,
  layout: Layout,
): readonly Segment[] {
  const [from, to] = [layout.px(pair, Math.max(0, low)), layout.px(pair, high)];
  if (to - from < 1) return [];
  const cap = (at: number): Segment => ({ x: at, x2: at, y: y - 3, y2: y + 3 });
  return [{ x: from, x2: to, y, y2: y }, cap(from), cap(to)];
}

function pieceLayer(pieces: readonly Piece[], x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values: pieces },
    mark: { type: "bar", size: BAR, strokeWidth: 0.7, orient: "horizontal" },
    encoding: {
      x,
      x2: { field: "x2" },
      y,
      fill: { field: "fill", type: "nominal", scale: null },
      fillOpacity: { condition: { test: "datum.open", value: 0.12 }, value: 0.78 },
      stroke: { condition: { test: "datum.open", value: INK.soft }, value: INK.paper },
    },
  };
}

/** A line at each quarter of the scale, and what it counts. */
function axisLayers(bars: BalanceBars, layout: Layout, x: SpecPart, y: SpecPart): readonly SpecPart[] {
  const { pairs, scale } = bars;
  const foot = layout.top + ROW * pairs.length + 2;
  const reach = reachOf(bars);
  const step = scale === "percent" ? 0.25 : roundStep(reach / 3.5);
  const places = Array.from({ length: Math.floor(reach / step + 1e-9) + 1 }, (_, i) => ({
    x: layout.left + (layout.inner * i * step) / reach,
    y: foot + 9,
    text: String(Number(((scale === "percent" ? 100 : 1) * i * step).toPrecision(3))),
  }));
  const lines = places.map(({ x: at }) => ({ x: at, x2: at, y: layout.top - 2, y2: foot }));
  const title = scale === "percent" ? "part of the larger sum / %" : "charge / (meq/L)";
  const quiet = { align: "center", fill: INK.soft };
  return [
    segments(lines, { color: INK.hair, strokeWidth: 1 }, x, y),
    texts(places, "text", { ...quiet, fontSize: 10 }, { x, y }),
    texts(
      [{ x: layout.left + layout.inner / 2, y: foot + 25, text: title }],
      "text",
      { ...quiet, fontSize: 11 },
      { x, y },
    ),
  ];
}

function roundStep(wish: number): number {
  const power = 10 ** Math.floor(Math.log10(wish));
  return [1, 2, 2.5, 4, 5, 10].map((factor) => factor * power).find((step) => step >= wish) ?? 10 * power;
}

/** Names on the left; differences, and in words which fail, on the right. */
function wordLayers(
  pairs: readonly BalancePair[],
  layout: Layout,
  width: number,
  x: SpecPart,
  y: SpecPart,
): readonly SpecPart[] {
  const middle = (i: number) => layout.top + ROW * i + BAR + 2.5;
  const names = pairs.map(({ name }, i) => ({ x: layout.left - 7, y: middle(i), text: name }));
  const verdicts = pairs.map((pair, i) => ({
    x: width,
    y: middle(i),
    text: `${differenceText(pair)}${pair.lacking.length > 0 ? ", no test" : pair.passed ? "" : ", fails"}`,
  }));
  return [
    texts(names, "text", { align: "right", fontSize: 10.5, fill: INK.ink, limit: layout.left - 8 }, { x, y }),
    texts(verdicts, "text", { align: "right", fontSize: 10, fill: INK.soft, limit: RIGHT - 4 }, { x, y }),
  ];
}

function differenceText({ percentDifference }: BalancePair): string {
  const half = expanded(percentDifference);
  const decimals = Math.abs(percentDifference.value) >= 10 ? 0 : 1;
  const value = signed(percentDifference.value, decimals);
  return half > 0 ? `${value} ± ${half.toFixed(half >= 10 ? 0 : 1)} %` : `${value} %`;
}

/** The colours of the ions that can be seen, in two lines above the bars. */
function keyRows(pairs: readonly BalancePair[], width: number) {
  const sides = (["cationBar", "anionBar"] as const).map((side) => ({
    title: side === "cationBar" ? "cations" : "anions",
    ions: visibleIons(pairs, side),
  }));
  const chips: { x: number; y: number; text: string; fill: string }[] = [];
  const titles: { x: number; y: number; text: string }[] = [];
  let y = 8;
  for (const { title, ions } of sides) {
    titles.push({ x: 0, y, text: title });
    let x = 56;
    for (const ion of ions) {
      const long = 13 + textWidth(ion, 10.5) + 12;
      if (x + long > width) {
        x = 56;
        y += KEY;
      }
      chips.push({ x: x + 5, y, text: ion, fill: COLORS[ion === UNKNOWN ? "unknown" : ionColor(ion)].fill });
      x += long;
    }
    y += KEY;
  }
  return {
    height: y + 2,
    layers: (x: SpecPart, yOf: SpecPart): readonly SpecPart[] => [
      texts(titles, "text", { align: "left", fontSize: 10.5, fill: INK.soft }, { x, y: yOf }),
      {
        data: { values: chips },
        mark: { type: "point", shape: "square", size: 80, opacity: 0.78, strokeWidth: 0 },
        encoding: { x, y: yOf, fill: { field: "fill", type: "nominal", scale: null } },
      },
      texts(chips, "text", { align: "left", dx: 8, fontSize: 10.5, fill: INK.ink }, { x, y: yOf }),
    ],
  };
}

/** Ions that make up a fiftieth of a bar somewhere, the largest first. */
function visibleIons(pairs: readonly BalancePair[], side: "cationBar" | "anionBar"): readonly string[] {
  const most = new Map<string, number>();
  for (const pair of pairs) {
    const whole = endOf(pair);
    for (const { ion, from, to } of pair[side].pieces)
      most.set(ion, Math.max(most.get(ion) ?? 0, (to - from) / whole));
    if (side === "anionBar" && (pair.unknownAnions?.value ?? 0) > 0)
      most.set(UNKNOWN, Math.max(most.get(UNKNOWN) ?? 0, (pair.unknownAnions?.value ?? 0) / whole));
  }
  return [...most]
    .filter(([, part]) => part > 0.02)
    .sort((a, b) => b[1] - a[1])
    .map(([ion]) => ion);
}

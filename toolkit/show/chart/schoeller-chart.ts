import type {
  SchoellerDiagram,
  SchoellerLine,
  SchoellerPoint,
} from "../../water/diagrams/schoeller-diagram.js";
import { type GroupSymbol, groupSymbol, symbolsFor } from "../color/group-symbols.js";
import { countedGroup, haloed, symbolLayer } from "./diagram-marks.js";
import { segments } from "./pixel-plane.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";
import { spreadLabels } from "./spread-labels.js";

const HEIGHT = 320;
/** Room on the right for names. */
const NAMES = 150;
/** More names than this find no room beside the lines. */
const MOST_NAMES = 20;
const MOST_BARS = 24;
const FORMULAS: Readonly<Record<string, string>> = {
  calcium: "Ca²⁺",
  magnesium: "Mg²⁺",
  chloride: "Cl⁻",
  sulfate: "SO₄²⁻",
  hydrogencarbonate: "HCO₃⁻",
};

/** A point of a line that has a place: its logarithm is known. */
interface Drawn {
  readonly line: number;
  readonly name: string;
  readonly x: number;
  readonly y: number;
  readonly open: boolean;
  readonly symbol: GroupSymbol;
  readonly point: SchoellerPoint;
}

/** Schoeller lines: charge of six groups on a logarithmic scale, one line a water, names at the right end. */
export function schoellerChart(diagram: SchoellerDiagram, width = 640): ChartSpec {
  const symbols = symbolsFor(diagram.groups, diagram.lines);
  const drawn = diagram.lines.flatMap((line, i) => drawnPoints(line, i, symbols(line)));
  const domain = domainOf(drawn);
  const inner = width - NAMES - 50;
  const encode = encodings(diagram, domain);
  const { x, y } = encode;
  const many = diagram.lines.length > MOST_BARS;
  return chartSpec({
    width: inner,
    height: HEIGHT,
    layer: [
      uprights(diagram.ions.length, domain, encode),
      lineLayer(drawn, many, x, y),
      ...(many ? [] : [barLayer(drawn, domain, encode)]),
      ...arrowLayers(drawn, domain, encode),
      symbolLayer(
        drawn.map(({ name, x: at, y: height, open, symbol }) => ({ name, x: at, y: height, open, symbol })),
        many ? 26 : 44,
        x(),
        y(),
      ),
      ...nameLayers(diagram, drawn, domain, inner, encode),
    ],
  });
}

interface Encodings {
  readonly x: (field?: string) => SpecPart;
  readonly y: (field?: string) => SpecPart;
}

function drawnPoints({ name, points }: SchoellerLine, line: number, symbol: GroupSymbol): readonly Drawn[] {
  return points.flatMap((point) =>
    point.logarithm === undefined
      ? []
      : [{ line, name, x: point.place, y: point.logarithm, open: point.open, symbol, point }],
  );
}

/** From below the lowest point to above the highest, a little more than a tenth of a decade. */
function domainOf(drawn: readonly Drawn[]): readonly [number, number] {
  const heights = drawn.map(({ y }) => y);
  const [low, high] = [Math.min(...heights), Math.max(...heights)];
  const more = Math.max(0, 1 - (high - low)) / 2;
  // An arrow down needs some room below it.
  const below = drawn.some(({ y, open }) => open && y < low + 0.1) ? 0.08 * (high - low) : 0;
  return [low - 0.15 - more - below, high + 0.15 + more];
}

function encodings({ ions, lines }: SchoellerDiagram, domain: readonly [number, number]): Encodings {
  const potassium = lines.some(({ absent }) => !absent.includes("potassium"));
  const names = ions.map((name) => FORMULAS[name] ?? (potassium ? "Na⁺ + K⁺" : "Na⁺"));
  const ticks: number[] = [];
  for (let power = Math.floor(domain[0]); power <= domain[1]; power++)
    for (const step of [1, 2, 5]) {
      const at = power + Math.log10(step);
      if (at >= domain[0] && at <= domain[1] && (step === 1 || domain[1] - domain[0] < 2.2)) ticks.push(at);
    }
  return {
    x: (field = "x") => ({
      field,
      type: "quantitative",
      scale: { domain: [-0.25, ions.length - 0.75], nice: false, zero: false },
      axis: {
        title: null,
        values: ions.map((_, i) => i),
        labelExpr: `[${names.map((name) => `'${name}'`).join(", ")}][datum.value]`,
        domain: false,
        ticks: false,
        labelColor: INK.ink,
        labelFontSize: 12,
        labelPadding: 8,
        labelOverlap: false,
      },
    }),
    y: (field = "y") => ({
      field,
      type: "quantitative",
      scale: { domain, nice: false, zero: false },
      axis: {
        title: "charge / (meq/L)",
        values: ticks,
        labelExpr: `pow(10, datum.value) < 0.1 ? format(pow(10, datum.value), '.1~g') : format(pow(10, datum.value), '.2~r')`,
      },
    }),
  };
}

function uprights(count: number, [low, high]: readonly [number, number], { x, y }: Encodings): SpecPart {
  const lines = Array.from({ length: count }, (_, i) => ({ x: i, x2: i, y: low, y2: high }));
  return segments(lines, { color: INK.hair, strokeWidth: 1 }, x(), y());
}

/** Lines through neighbours alone: a group that was not measured leaves a gap. */
function lineLayer(drawn: readonly Drawn[], many: boolean, x: Encodings["x"], y: Encodings["y"]): SpecPart {
  let run = 0;
  const values = drawn.map((dot, i) => {
    const before = drawn[i - 1];
    if (before === undefined || before.line !== dot.line || before.x !== dot.x - 1) run++;
    return { x: dot.x, y: dot.y, run, color: dot.symbol.color };
  });
  return {
    data: { values },
    mark: {
      type: "line",
      strokeWidth: many ? 1 : 1.4,
      strokeOpacity: many ? 0.5 : 0.85,
      strokeJoin: "round",
    },
    encoding: {
      x: x(),
      y: y(),
      detail: { field: "run", type: "nominal" },
      stroke: { field: "color", type: "nominal", scale: null },
    },
  };
}

/** Expanded uncertainty, 95 %, cut where it would leave the picture. */
function barLayer(
  drawn: readonly Drawn[],
  [low, high]: readonly [number, number],
  { x, y }: Encodings,
): SpecPart {
  const values = drawn.flatMap(({ point, x: at }) => {
    if (point.milliequivalents === undefined || point.milliequivalents.u === 0) return [];
    const interval = point.milliequivalents.interval();
    const log = (value: number) => (value > 0 ? Math.log10(value) : low);
    return [
      {
        x: at,
        x2: at,
        y: Math.max(low, log(interval.low)),
        y2: Math.min(high, log(interval.high)),
      },
    ];
  });
  return segments(values, { color: INK.ink, strokeWidth: 1 }, x(), y());
}

function arrowLayers(
  drawn: readonly Drawn[],
  [low, high]: readonly [number, number],
  { x, y }: Encodings,
): readonly SpecPart[] {
  const px = (high - low) / HEIGHT;
  const side = 0.018;
  const values = drawn
    .filter(({ open }) => open)
    .flatMap(({ x: at, y: from, symbol }) => {
      const tip = from - 18 * px;
      const { color } = symbol;
      return [
        { x: at, x2: at, y: from, y2: tip, color },
        { x: at, x2: at - side, y: tip, y2: tip + 4.5 * px, color },
        { x: at, x2: at + side, y: tip, y2: tip + 4.5 * px, color },
      ];
    });
  if (values.length === 0) return [];
  const layer = segments(values, { strokeWidth: 1.2 }, x(), y());
  const encoding = layer.encoding as SpecPart;
  return [{ ...layer, encoding: { ...encoding, stroke: { field: "color", type: "nominal", scale: null } } }];
}

/** At the right end the names of a few waters, or of the groups; a line leads to a name that had to move. */
function nameLayers(
  diagram: SchoellerDiagram,
  drawn: readonly Drawn[],
  [low, high]: readonly [number, number],
  inner: number,
  { x, y }: Encodings,
): readonly SpecPart[] {
  const wishes = endsOf(diagram, drawn);
  if (wishes.length === 0) return [];
  const px = (high - low) / HEIGHT;
  const places = spreadLabels(
    wishes.map(({ y: at }) => (high - at) / px),
    13,
    HEIGHT,
  ).map((at) => high - at * px);
  const perPx = (diagram.ions.length - 0.5) / inner;
  const last = diagram.ions.length - 1;
  const leaders = wishes.map((wish, i) => ({
    x: wish.x + 6 * perPx,
    y: wish.y,
    x2: last + 26 * perPx,
    y2: places[i],
  }));
  const labels = wishes.map(({ text, symbol }, i) => ({
    x: last + 34 * perPx,
    y: places[i],
    text,
    name: text,
    symbol,
    open: false,
  }));
  return [
    segments(leaders, { color: INK.soft, strokeWidth: 0.6, strokeOpacity: 0.7 }, x(), y()),
    symbolLayer(labels, 36, x(), y()),
    ...haloed(
      labels,
      "text",
      { align: "left", dx: 9, fontSize: 11, fill: INK.ink, limit: NAMES - 12 },
      { x: x(), y: y() },
    ),
  ];
}

interface End {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly symbol: GroupSymbol;
}

function endsOf({ groups, lines }: SchoellerDiagram, drawn: readonly Drawn[]): readonly End[] {
  const last = lines.map((_, i) => drawn.filter((dot) => dot.line === i).pop());
  if (groups.length > 0)
    return groups.flatMap((group, i) => {
      const ends = last
        .filter((dot): dot is Drawn => dot !== undefined && lines[dot.line].group === group)
        .sort((a, b) => a.y - b.y);
      const middle = ends[Math.floor(ends.length / 2)];
      if (middle === undefined) return [];
      return [{ text: countedGroup(group, lines), x: middle.x, y: middle.y, symbol: groupSymbol(i) }];
    });
  if (lines.length > MOST_NAMES) return [];
  return last.flatMap((dot) =>
    dot === undefined ? [] : [{ text: dot.name, x: dot.x, y: dot.y, symbol: dot.symbol }],
  );
}

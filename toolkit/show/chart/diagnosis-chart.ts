import type {
  BalanceDiagnosis,
  DiagnosedHypothesis,
  Standing,
} from "../../water/diagnosis/diagnosis-types.js";
import { COLORS } from "../color/ion-colors.js";
import { fixed, signed } from "../text/numbers.js";
import { axisTicks } from "../trace/trace-paths.js";
import { intervalRowsChart } from "./interval-rows.js";
import { groundedTexts, texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

const WIDTH = 330;
const HEIGHT = 250;
/** Height of a name in the column at the right, and where that begins. */
const NAME_ROW = 15;
const NAMES_AT = WIDTH + 26;
/** Hypotheses that are drawn, likeliest first. */
export const DRAWN = 6;
/** Beyond this a hypothesis would only squeeze the others together, %. */
const FAR = 60;
/** Waters of a batch that lie beyond stand at this edge, their numbers beside them, %. */
const EDGE = 30;
const ACCENT = COLORS.vermilion.fill;

interface Place {
  readonly x: number;
  readonly y: number;
}

/**
 * Where each hypothesis would put the difference of charge and the conductivity: the target is where both agree, its ring two
 * standard uncertainties. Without a measured conductivity, rows of differences.
 */
export function diagnosisChart(diagnosis: BalanceDiagnosis): ChartSpec {
  const { reported, raised } = diagnosis;
  // Where nothing is wrong a hypothesis would only look like one.
  const hypotheses = raised ? diagnosis.hypotheses : [];
  if (reported.conductivityRatio === undefined) return differenceRows(reported, hypotheses);
  const told = hypotheses.slice(0, DRAWN).filter((each) => isNear(placeOf(each), placeOf(reported)));
  const places = told.map((each) => ({ ...placeOf(each), each, number: hypotheses.indexOf(each) + 1 }));
  const start = placeOf(reported);
  const ring = ringOf(reported);
  const axes = axesOf([start, ...places, ...ring]);
  return chartSpec({
    width: WIDTH,
    height: HEIGHT,
    padding: { left: 4, right: raised ? 48 : 8, top: 4, bottom: 4 },
    layer: [
      ...crossAndRing(ring, axes),
      ...ways(start, places, axes),
      points([start], { shape: "diamond", fill: INK.ink, size: 90 }, axes),
      ...groundedTexts(
        [{ ...start, text: "as reported" }],
        "text",
        reportedText(start, axes),
        axesEncoding(axes),
      ),
      ...places.map((place) =>
        points(
          [place],
          { shape: "circle", fill: place.number === 1 ? ACCENT : INK.soft, size: dotSize(place.each) },
          axes,
        ),
      ),
      ...names(places, axes),
    ],
  });
}

/** Waters of a batch in the same plane, those that do not fit with their names. */
export function batchDiagnosisChart(waters: readonly BalanceDiagnosis[]): ChartSpec {
  const drawn = waters.filter(({ reported }) => reported.conductivityRatio !== undefined);
  if (drawn.length === 0) {
    return intervalRowsChart(
      waters.map(({ sample, reported, raised }) => row(sample, reported, raised)),
      { title: DIFFERENCE },
    );
  }
  const rows = drawn.map(({ sample: name, raised, reported }) => {
    const whole = placeOf(reported);
    const place = { x: held(whole.x, [-EDGE, EDGE]), y: held(whole.y, [100 - EDGE, 100 + EDGE]) };
    const beyond = place.x !== whole.x || place.y !== whole.y;
    const sample = beyond ? `${name} (${signed(whole.x, 0)} %, ${fixed(whole.y, 0)} %)` : name;
    const [dx, dy] = beyond ? [0, 0] : [2 * reported.uPercent, 200 * reported.uRatio];
    return {
      ...place,
      sample,
      raised,
      low: place.x - dx,
      high: place.x + dx,
      bottom: place.y - dy,
      top: place.y + dy,
    };
  });
  const fitting = rows.filter(({ raised }) => !raised);
  const faulty = rows.filter(({ raised }) => raised);
  const axes = axesOf([...rows, { x: 0, y: 100 }, ...rows.map(({ high, top }) => ({ x: high, y: top }))]);
  const bar = { type: "rule", color: INK.soft, strokeWidth: 1, opacity: 0.6, clip: true };
  const { x, y } = axesEncoding(axes);
  return chartSpec({
    width: WIDTH + 60,
    height: HEIGHT,
    layer: [
      ...cross(axes, WIDTH + 60),
      {
        data: { values: rows },
        mark: bar,
        encoding: { x: { ...x, field: "low" }, x2: { field: "high" }, y },
      },
      {
        data: { values: rows },
        mark: bar,
        encoding: { x, y: { ...y, field: "bottom" }, y2: { field: "top" } },
      },
      points(fitting, { shape: "circle", fill: INK.paper, size: 40 }, axes),
      points(faulty, { shape: "diamond", fill: ACCENT, size: 80 }, axes),
      ...groundedTexts(faulty, "sample", { align: "left", dx: 9, dy: -9, fontWeight: "bold" }, { x, y }),
    ],
  });
}

function held(value: number, [low, high]: readonly [number, number]): number {
  return Math.min(high, Math.max(low, value));
}

const DIFFERENCE = "100 (cations − anions)/(cations + anions) / %";

function differenceRows(reported: Standing, hypotheses: readonly DiagnosedHypothesis[]): ChartSpec {
  const rows = hypotheses.slice(0, DRAWN).map((each, i) => row(`${i + 1} ${each.cause}`, each, i === 0));
  return intervalRowsChart([{ ...row("as reported", reported, false), color: INK.ink }, ...rows], {
    title: DIFFERENCE,
  });
}

function row(name: string, { percentDifference: value, uPercent }: Standing, first: boolean) {
  const color = first ? ACCENT : INK.soft;
  return { name, value, low: value - 2 * uPercent, high: value + 2 * uPercent, color };
}

function placeOf({ percentDifference, conductivityRatio }: Standing): Place {
  return { x: percentDifference, y: 100 * (conductivityRatio ?? 1) };
}

function isNear(place: Place, reported: Place): boolean {
  const reach = (value: number) => Math.max(FAR, 1.3 * Math.abs(value));
  return Math.abs(place.x) < reach(reported.x) && Math.abs(place.y - 100) < reach(reported.y - 100);
}

/** Two standard uncertainties around closed charge and measured conductivity. */
function ringOf({ uPercent, uRatio }: Standing): readonly Place[] {
  return Array.from({ length: 73 }, (_, i) => {
    const angle = (2 * Math.PI * i) / 72;
    return { x: 2 * uPercent * Math.cos(angle), y: 100 + 200 * uRatio * Math.sin(angle) };
  });
}

interface Axes {
  readonly x: readonly [number, number];
  readonly y: readonly [number, number];
}

function axesOf(places: readonly Place[]): Axes {
  const span = (values: readonly number[]): readonly [number, number] => {
    const [low, high] = [Math.min(...values), Math.max(...values)];
    const margin = 0.15 * (high - low || 1);
    return [low - margin, high + margin];
  };
  return { x: span(places.map(({ x }) => x)), y: span(places.map(({ y }) => y)) };
}

function axesEncoding(axes: Axes): { readonly x: SpecPart; readonly y: SpecPart } {
  const axis = (field: "x" | "y", title: string) => {
    const ticks = axisTicks(axes[field][0], axes[field][1], 5);
    return {
      field,
      type: "quantitative",
      scale: { domain: axes[field], nice: false, zero: false },
      axis: { title, values: ticks.at, format: `.${ticks.decimals}f` },
    };
  };
  return { x: axis("x", DIFFERENCE), y: axis("y", "computed/measured conductivity / %") };
}

function cross(axes: Axes, width: number): readonly SpecPart[] {
  const { x, y } = axesEncoding(axes);
  const mark = { type: "rule", color: INK.soft, strokeWidth: 1, strokeDash: [3, 3], opacity: 0.8 };
  const upright = axes.x[0] < 0 && axes.x[1] > 0;
  const level = axes.y[0] < 100 && axes.y[1] > 100;
  return [
    ...(upright
      ? [{ data: { values: [{ x: 0 }] }, mark: { ...mark, y: 0, y2: HEIGHT }, encoding: { x } }]
      : []),
    ...(level
      ? [{ data: { values: [{ y: 100 }] }, mark: { ...mark, x: 0, x2: width }, encoding: { y } }]
      : []),
  ];
}

function crossAndRing(ring: readonly Place[], axes: Axes): readonly SpecPart[] {
  const { x, y } = axesEncoding(axes);
  const values = ring.map((place, order) => ({ ...place, order }));
  const mark = {
    type: "line",
    color: INK.soft,
    strokeWidth: 1.2,
    fill: INK.hair,
    fillOpacity: 0.6,
    interpolate: "linear-closed",
  };
  return [
    { data: { values }, mark, encoding: { x, y, order: { field: "order", type: "quantitative" } } },
    ...cross(axes, WIDTH),
  ];
}

/** A fine line from the water as reported to each hypothesis. */
function ways(start: Place, places: readonly Place[], axes: Axes): readonly SpecPart[] {
  const { x, y } = axesEncoding(axes);
  const values = places.map((place) => ({ ...place, fromX: start.x, fromY: start.y }));
  return [
    {
      data: { values },
      mark: { type: "rule", color: INK.soft, strokeWidth: 0.7, opacity: 0.7 },
      encoding: {
        x: { ...x, field: "fromX" },
        x2: { field: "x" },
        y: { ...y, field: "fromY" },
        y2: { field: "y" },
      },
    },
  ];
}

function points(
  values: readonly object[],
  { shape, fill, size }: { readonly shape: string; readonly fill: string; readonly size: number },
  axes: Axes,
): SpecPart {
  return {
    data: { values },
    mark: { type: "point", shape, filled: true, fill, stroke: INK.ink, strokeWidth: 0.8, size, opacity: 1 },
    encoding: axesEncoding(axes),
  };
}

function reportedText(start: Place, axes: Axes): SpecPart {
  const right = start.x > (axes.x[0] + axes.x[1]) / 2;
  return {
    align: right ? "right" : "left",
    dx: right ? 6 : -6,
    dy: start.y < 100 ? 15 : -15,
    fontWeight: "bold",
  };
}

/** Dots grow with probability. */
function dotSize({ probability }: DiagnosedHypothesis): number {
  return 34 + 80 * probability;
}

/** Names in a column at the right, in the order of their dots and led to by fine lines. */
function names(
  places: readonly (Place & { readonly each: DiagnosedHypothesis; readonly number: number })[],
  axes: Axes,
): readonly SpecPart[] {
  const [low, high] = axes.y;
  const at = (place: Place) => HEIGHT * (1 - (place.y - low) / (high - low));
  const sorted = [...places].sort((a, b) => at(a) - at(b));
  const [left, right] = axes.x;
  let least = 0;
  return sorted.flatMap((place, index) => {
    const latest = HEIGHT - NAME_ROW * (sorted.length - 1 - index);
    const y = Math.max(least, Math.min(at(place), latest));
    least = y + NAME_ROW;
    const text = `${place.number}  ${place.each.cause}`;
    const bold = place.number === 1 ? "bold" : "normal";
    const from = (WIDTH * (place.x - left)) / (right - left);
    const lead = { type: "line", color: INK.soft, strokeWidth: 0.6, opacity: 0.5 };
    const path = [
      { px: from + 6, py: at(place) },
      { px: NAMES_AT - 4, py: y },
    ];
    return [
      {
        data: { values: path },
        mark: lead,
        encoding: {
          x: { field: "px", type: "quantitative", scale: null, axis: null },
          y: { field: "py", type: "quantitative", scale: null, axis: null },
        },
      },
      texts([{ text }], "text", { align: "left", x: NAMES_AT, y, fontWeight: bold }, {}),
    ];
  });
}

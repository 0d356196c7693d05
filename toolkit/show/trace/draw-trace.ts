import { indexAt } from "../../signal/time-axis.js";
import type {
  DrawnPeak,
  DrawnStrip,
  DrawnTrace,
  PanelPlace,
  TraceDrawing,
  TraceView,
} from "./drawn-trace.js";
import { placeLabels, textWidth } from "./label-places.js";
import { leftOver, runsOf, stripRange, sumOfParts } from "./strip-paths.js";
import {
  aboveBaseline,
  axisTicks,
  columnsOf,
  type Frame,
  hasGiant,
  panelBody,
  readableSpan,
  roundFactor,
  signalPath,
  svgText,
  tickText,
  valueRange,
} from "./trace-paths.js";

// What these functions need from the neighbouring files is handed in, for the same reason as there: the source texts
// go into a page, where imported names would not exist.

/** The neighbours' functions that the drawing is handed. */
export const DRAWING_TOOLS = {
  aboveBaseline,
  axisTicks,
  columnsOf,
  hasGiant,
  indexAt,
  leftOver,
  panelBody,
  placeLabels,
  readableSpan,
  roundFactor,
  runsOf,
  signalPath,
  stripRange,
  sumOfParts,
  svgText,
  textWidth,
  tickText,
  valueRange,
};

export type DrawingTools = typeof DRAWING_TOOLS;

/**
 * A record as SVG: signal, dashed baseline, translucent peaks, names beside them, and below it the same magnified
 * where a peak is dwarfed by another. O(n) in the points of the view; the path keeps lowest and highest of each
 * pixel column, so nothing visible is lost.
 */
export function drawTrace(
  trace: DrawnTrace,
  view: TraceView,
  width: number,
  tools: DrawingTools,
): TraceDrawing {
  const panels = layPanels(trace, view, width, tools);
  let body = "";
  panels.forEach((place, index) => {
    const shown = place.flat ? tools.aboveBaseline(trace) : trace;
    const lowest = index === panels.length - 1 && trace.strip === undefined;
    body += drawPanel(shown, place, lowest, width, tools);
  });
  let last = panels[panels.length - 1];
  if (trace.strip !== undefined) {
    const top = last.top + last.height + 40;
    const place = { ...last, top, height: Math.round(56 * (trace.strip.tall ?? 1)) };
    body += drawStrip(trace, trace.strip, place, width, tools);
    last = place;
  }
  const height = last.top + last.height + 34;
  const svg = `<svg class="ib-svg" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}">${body}</svg>`;
  return { svg, panels };
}

/** Where the panels lie and which ranges they show. */
export function layPanels(
  trace: DrawnTrace,
  view: TraceView,
  width: number,
  tools: DrawingTools,
): PanelPlace[] {
  const first = Math.max(0, tools.indexAt(trace.time, view.x[0]) - 1);
  const last = Math.min(trace.time.length - 1, tools.indexAt(trace.time, view.x[1]));
  const [low, high, baseLow, baseHigh] = tools.valueRange(trace, first, last);
  const span = Math.max(high - low, 14 * trace.noise, 1e-12);
  const y = view.y ?? ([low - 0.05 * span, Math.max(high, low + span) + 0.04 * span] as const);
  const twin = view.twin ?? tools.hasGiant(trace);
  const narrow = width < 560;
  const common = { left: 50, width: Math.max(60, width - 62), x: view.x };
  const tall = twin ? (narrow ? 130 : 170) : narrow ? 170 : 210;
  const panels: PanelPlace[] = [{ ...common, top: 48, height: tall, y, factor: 1, flat: false }];
  if (!twin) return panels;
  const whole = y[1] - y[0];
  const drift = baseHigh - baseLow;
  const readable = tools.readableSpan(trace, view, whole);
  // Where the baseline wanders more than the small peaks rise, only its subtraction lets them be magnified.
  const flat = view.flat ?? 1.8 * drift > readable;
  const factor = tools.roundFactor(
    Math.max(2, whole / (flat ? readable : Math.max(readable, 1.8 * drift))) * (view.boost ?? 1),
  );
  const foot = trace.traceLevel?.floor ?? (flat ? 0 : baseLow);
  const floor = foot - (0.1 * whole) / factor;
  const magnified = view.magnified ?? ([floor, floor + whole / factor] as const);
  const ratio = view.magnified ? whole / (magnified[1] - magnified[0]) : factor;
  const top = 48 + tall + 64;
  panels.push({ ...common, top, height: narrow ? 150 : 190, y: magnified, factor: ratio, flat });
  return panels;
}

/** The points and pixels of a panel. */
export function frameOf(trace: DrawnTrace, place: PanelPlace, tools: DrawingTools): Frame {
  const { x, y } = place;
  return {
    place,
    first: Math.max(0, tools.indexAt(trace.time, x[0]) - 1),
    last: Math.min(trace.time.length - 1, tools.indexAt(trace.time, x[1])),
    px: (time) => ((time - x[0]) / (x[1] - x[0])) * place.width,
    py: (value) => (1 - (value - y[0]) / (y[1] - y[0])) * place.height,
  };
}

/** The strip below the panels: its zero line and its values on the time axis of the record. */
export function drawStrip(
  trace: DrawnTrace,
  strip: DrawnStrip,
  above: PanelPlace,
  width: number,
  tools: DrawingTools,
): string {
  const values = strip.values ?? tools.leftOver(trace);
  const { first, last } = frameOf(trace, above, tools);
  const { range, cut } = tools.stripRange(strip, values, trace.noise, first, last);
  const place: PanelPlace = { ...above, y: range };
  const frame = frameOf(trace, place, tools);
  const { left, top, height } = place;
  const title = cut ? `${strip.title}, cut off at the edges` : strip.title;
  const heading = `<text class="ib-name" x="0" y="${top - 12}">${tools.svgText(title)}</text>`;
  const foot = `<text class="ib-name" x="${width - 12}" y="${top + height + 31}" text-anchor="end">time / min</text>`;
  const zero = range[0] < 0 && range[1] > 0 ? Math.round(frame.py(0) * 10) : -1;
  const zeroLine = zero < 0 ? "" : `<path class="ib-base" d="M0 ${zero}h${place.width * 10}"/>`;
  const body = `<svg x="${left}" y="${top}" width="${place.width}" height="${height}"><g transform="scale(.1)">${zeroLine}${drawLine(trace, values, frame, "ib-rest", tools)}</g></svg>`;
  const shade = shadeOf(trace, frame, left, top, height);
  return `<g>${shade}${drawAxes(frame, true, tools)}${heading}${foot}${body}</g>`;
}

/** Values over time as a line that does not cross gaps. */
export function drawLine(
  trace: DrawnTrace,
  values: Float64Array,
  frame: Frame,
  look: string,
  tools: DrawingTools,
): string {
  const drawn = { ...trace, signal: values };
  return tools
    .runsOf(values, frame.first, frame.last)
    .map(
      ([first, last]) => `<path class="${look}" d="${tools.signalPath(drawn, { ...frame, first, last })}"/>`,
    )
    .join("");
}

/** The sum of baseline and components over a panel. */
export function sumLine(trace: DrawnTrace, frame: Frame, tools: DrawingTools): string {
  if (!trace.sum) return "";
  const { left, top, width, height } = frame.place;
  const line = drawLine(trace, tools.sumOfParts(trace), frame, "ib-sum", tools);
  return `<svg x="${left}" y="${top}" width="${width}" height="${height}"><g transform="scale(.1)">${line}</g></svg>`;
}

/** Axes, body and names of one panel. */
export function drawPanel(
  trace: DrawnTrace,
  place: PanelPlace,
  lowest: boolean,
  width: number,
  tools: DrawingTools,
): string {
  const { left, top, height } = place;
  const frame = frameOf(trace, place, tools);
  const factor = String(Number(place.factor.toPrecision(2)));
  const same = place.flat ? "the same above its baseline" : "the same";
  const title = place.factor === 1 ? trace.axis : `${same}, magnified ${factor} times`;
  const heading = `<text class="ib-name" x="0" y="${top - 36}">${tools.svgText(title)}</text>`;
  const foot = lowest
    ? `<text class="ib-name" x="${width - 12}" y="${top + height + 31}" text-anchor="end">time / min</text>`
    : "";
  const shade = shadeOf(trace, frame, left, top, height);
  const axes = drawAxes(frame, lowest, tools);
  return `<g>${shade}${axes}${heading}${foot}${tools.panelBody(trace, frame, tools.indexAt)}${sumLine(trace, frame, tools)}${drawNames(trace, frame, tools)}</g>`;
}

/** At most three grid lines, ticks in time, the two axis lines. */
export function drawAxes(frame: Frame, lowest: boolean, tools: DrawingTools): string {
  const { left, top, width, height, x, y } = frame.place;
  let axes = "";
  const rows = y[0] === -y[1] ? evenTicks(y[1], tools) : tools.axisTicks(y[0], y[1], 3);
  for (const value of rows.at) {
    const at = (top + frame.py(value)).toFixed(1);
    axes += `<path class="ib-grid" d="M${left} ${at}h${width}"/>`;
    axes += `<text class="ib-tick" x="${left - 6}" y="${Number(at) + 4}" text-anchor="end">${tools.tickText(value, rows.decimals)}</text>`;
  }
  const columns = tools.axisTicks(x[0], x[1], Math.max(3, Math.floor(width / 60)));
  for (const value of columns.at) {
    const at = (left + frame.px(value)).toFixed(1);
    axes += `<path class="ib-axis" d="M${at} ${top + height}v4"/>`;
    if (lowest) {
      axes += `<text class="ib-tick" x="${at}" y="${top + height + 17}" text-anchor="middle">${tools.tickText(value, columns.decimals)}</text>`;
    }
  }
  return `${axes}<path class="ib-axis" d="M${left} ${top}v${height}h${width}"/>`;
}

/** Zero and a round number on either side of it. */
export function evenTicks(half: number, tools: DrawingTools): { at: number[]; decimals: number } {
  const round = tools.roundFactor(0.9 * half);
  return { at: [-round, 0, round], decimals: Math.max(0, -Math.floor(Math.log10(round) + 1e-9)) };
}

/** A faint ground under the stretches that were not evaluated. */
export function shadeOf(trace: DrawnTrace, frame: Frame, left: number, top: number, height: number): string {
  let [from, to] = [0, trace.time.length - 1];
  while (from < to && Number.isNaN(trace.baseline[from])) from += 1;
  while (to > from && Number.isNaN(trace.baseline[to])) to -= 1;
  if (from >= to) return "";
  const { width } = frame.place;
  const start = Math.min(Math.max(frame.px(trace.time[from]), 0), width);
  const end = Math.min(Math.max(frame.px(trace.time[to]), 0), width);
  let shade = "";
  if (start > 0.5 && from > 0) {
    shade += `<rect class="ib-outside" x="${left}" y="${top}" width="${start.toFixed(1)}" height="${height}"/>`;
  }
  if (end < width - 0.5 && to < trace.time.length - 1) {
    shade += `<rect class="ib-outside" x="${(left + end).toFixed(1)}" y="${top}" width="${(width - end).toFixed(1)}" height="${height}"/>`;
  }
  return shade;
}

/** The names of the peaks in view, beside their apexes. */
export function drawNames(trace: DrawnTrace, frame: Frame, tools: DrawingTools): string {
  const { place } = frame;
  const topOf = (peak: DrawnPeak): number => {
    const index = Math.min(tools.indexAt(trace.time, peak.time), trace.time.length - 1);
    const base = trace.baseline[index];
    // The name of a dip stands on the baseline, where there is room for it.
    return Number.isNaN(base) ? trace.signal[index] : base + Math.max(peak.height, 0);
  };
  const shown = trace.peaks.filter(
    (peak) => peak.time >= place.x[0] && peak.time <= place.x[1] && topOf(peak) >= place.y[0],
  );
  const apexes = shown.map((peak) => ({
    text: peak.label,
    x: frame.px(peak.time),
    y: Math.min(Math.max(frame.py(topOf(peak)), 0), place.height),
  }));
  const { top: line } = tools.columnsOf(trace, frame);
  const ceiling = line.map((value) => (Number.isNaN(value) ? place.height : Math.max(value, 0)));
  let text = "";
  for (const label of tools.placeLabels(apexes, ceiling, 32, 11, tools.textWidth)) {
    const peak = shown[label.index];
    const apex = apexes[label.index];
    const x = (place.left + label.x).toFixed(1);
    const y = place.top + label.y;
    if (label.far) {
      const from = Math.min(Math.max(apex.x, label.x - label.half), label.x + label.half);
      const start = `${(place.left + from).toFixed(1)} ${(from === apex.x ? y + 3 : y - 3).toFixed(1)}`;
      const end = `${(place.left + apex.x).toFixed(1)} ${(place.top + apex.y - 2).toFixed(1)}`;
      text += `<path class="ib-lead ib-${peak.color}" d="M${start}L${end}"/>`;
    }
    text += `<text class="ib-label ib-${peak.color}" x="${x}" y="${y.toFixed(1)}" text-anchor="middle">${tools.svgText(peak.label)}</text>`;
  }
  return text;
}

import type { DrawnTrace, PanelPlace, TraceView } from "./drawn-trace.js";

// The functions of this file call nothing but each other: their source texts go into a page as they are, so that the
// zoomed chart is drawn by the very code that drew the printed one.

/** Pixels and samples of one panel. */
export interface Frame {
  readonly place: PanelPlace;
  readonly first: number;
  readonly last: number;
  readonly px: (time: number) => number;
  readonly py: (value: number) => number;
}

/** Text for SVG: & < > and quotes as entities. */
export function svgText(text: string): string {
  return text.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);
}

/** Round numbers inside a range, at most `most` of them, and the decimals they need. */
export function axisTicks(low: number, high: number, most: number): { at: number[]; decimals: number } {
  const span = high - low;
  if (!(span > 0) || !Number.isFinite(span)) return { at: [], decimals: 0 };
  let step = 10 ** Math.floor(Math.log10(span / most));
  for (const multiple of [1, 2, 5, 10, 20]) {
    const count = Math.floor(high / (step * multiple) + 1e-9) - Math.ceil(low / (step * multiple) - 1e-9) + 1;
    if (count <= most) {
      step *= multiple;
      break;
    }
  }
  const at: number[] = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + step * 1e-9; k += 1) at.push(k * step);
  return { at, decimals: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)) };
}

/** Tick text with a real minus sign. */
export function tickText(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `\u2212${text}` : text;
}

/** Range of the evaluated signal and its baseline between two points; of the whole signal where nothing is evaluated. */
export function valueRange(trace: DrawnTrace, first: number, last: number): [number, number, number, number] {
  let [low, high, baseLow, baseHigh] = [Infinity, -Infinity, Infinity, -Infinity];
  for (let pass = 0; pass < 2 && !(high >= low); pass += 1) {
    for (let index = first; index <= last; index += 1) {
      const base = trace.baseline[index];
      if (pass === 0 && Number.isNaN(base)) continue;
      const value = trace.signal[index];
      if (value < low) low = value;
      if (value > high) high = value;
      if (base < baseLow) baseLow = base;
      if (base > baseHigh) baseHigh = base;
    }
  }
  if (!(high >= low)) [low, high] = [0, 1];
  return [low, high, Math.min(baseLow, high), Math.max(baseHigh, low)];
}

/** True where some peak is so much smaller than another that the eye would miss it, or the trace level is asked for. */
export function hasGiant(trace: DrawnTrace): boolean {
  if (trace.traceLevel !== undefined) return true;
  const heights = trace.peaks.filter((peak) => !peak.system && peak.height > 0).map((peak) => peak.height);
  return heights.length > 1 && Math.max(...heights) > 8 * Math.min(...heights);
}

/** The vertical stretch in which the dwarfed peaks of the view are readable. */
export function readableSpan(trace: DrawnTrace, view: TraceView, span: number): number {
  const heights = trace.peaks
    .filter((peak) => !peak.system && peak.height > 0 && peak.time >= view.x[0] && peak.time <= view.x[1])
    .map((peak) => peak.height);
  const giant = Math.max(...heights, span * 0.5);
  const small = heights.filter((height) => height < giant / 8).sort((a, b) => a - b);
  const middle = small[Math.floor((small.length - 1) / 2)];
  const wanted =
    small.length > 0
      ? Math.min(1.3 * small[small.length - 1], Math.max(1.7 * middle, 7 * small[0]))
      : (trace.traceLevel?.span ?? span / 5);
  return Math.max(wanted, 14 * trace.noise);
}

/** The largest of 1, 2, 5, 10, … that does not exceed `raw`. */
export function roundFactor(raw: number): number {
  const decade = 10 ** Math.floor(Math.log10(raw));
  const lead = raw / decade;
  return (lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * decade;
}

/** The same record with its baseline subtracted. */
export function aboveBaseline(trace: DrawnTrace): DrawnTrace {
  const signal = trace.signal.map((value, index) => value - trace.baseline[index]);
  return { ...trace, signal, baseline: trace.baseline.map((value) => value * 0) };
}

/** Lowest and highest signal of every pixel column, px; columns between sparse points are interpolated. */
export function columnsOf(trace: DrawnTrace, frame: Frame): { top: Float64Array; foot: Float64Array } {
  const width = Math.ceil(frame.place.width) + 1;
  const top = new Float64Array(width).fill(NaN);
  const foot = new Float64Array(width).fill(NaN);
  let before = -1;
  for (let index = frame.first; index <= frame.last; index += 1) {
    const y = frame.py(trace.signal[index]);
    if (Number.isNaN(y)) continue;
    const column = Math.min(width - 1, Math.max(0, Math.round(frame.px(trace.time[index]))));
    if (!(y >= top[column])) top[column] = y;
    if (!(y <= foot[column])) foot[column] = y;
    for (let gap = before + 1; before >= 0 && gap < column; gap += 1) {
      const part = (gap - before) / (column - before);
      top[gap] = top[before] + part * (y - top[before]);
      foot[gap] = top[gap];
    }
    before = column;
  }
  return { top, foot };
}

/** Path data through points given in tenths of a pixel, relative and whole, so that it stays short. */
export function pathData(xs: readonly number[], ys: readonly number[], closed: boolean): string {
  let text = "";
  let [atX, atY] = [0, 0];
  for (let index = 0; index < xs.length; index += 1) {
    const [x, y] = [Math.round(xs[index] * 10), Math.round(ys[index] * 10)];
    const dy = y - atY;
    if (index === 0) text = `M${x} ${y}l`;
    else text += `${index === 1 || x - atX < 0 ? "" : " "}${x - atX}${dy < 0 ? "" : " "}${dy}`;
    [atX, atY] = [x, y];
  }
  return xs.length < 2 ? "" : closed ? `${text}z` : text;
}

/** The record as a path: every point while they are sparse, else lowest and highest of each pixel column. */
export function signalPath(trace: DrawnTrace, frame: Frame): string {
  const xs: number[] = [];
  const ys: number[] = [];
  const limit = (y: number): number => Math.min(Math.max(y, -40), frame.place.height + 40);
  if (frame.last - frame.first < 2 * frame.place.width) {
    for (let index = frame.first; index <= frame.last; index += 1) {
      if (Number.isNaN(trace.signal[index])) continue;
      xs.push(frame.px(trace.time[index]));
      ys.push(limit(frame.py(trace.signal[index])));
    }
    return pathData(xs, ys, false);
  }
  let column = -Infinity;
  let [low, high] = [0, 0];
  const flush = (): void => {
    for (const index of low < high ? [low, high] : low > high ? [high, low] : [low]) {
      xs.push(frame.px(trace.time[index]));
      ys.push(limit(frame.py(trace.signal[index])));
    }
  };
  for (let index = frame.first; index <= frame.last; index += 1) {
    if (Number.isNaN(trace.signal[index])) continue;
    const here = Math.floor(frame.px(trace.time[index]));
    if (here > column) {
      if (column > -Infinity) flush();
      [column, low, high] = [here, index, index];
    } else if (trace.signal[index] > trace.signal[high]) high = index;
    else if (trace.signal[index] < trace.signal[low]) low = index;
  }
  if (column > -Infinity) flush();
  return pathData(xs, ys, false);
}

/** The area between the baseline and `over` (a height above it at each point). */
export function areaPath(
  trace: DrawnTrace,
  frame: Frame,
  first: number,
  last: number,
  over: (index: number) => number,
): string {
  const from = Math.max(first, frame.first);
  const to = Math.min(last, frame.last);
  const stride = Math.max(1, Math.floor((2 * (frame.last - frame.first)) / (3 * frame.place.width)));
  const xs: number[] = [];
  const ys: number[] = [];
  const feet: number[] = [];
  for (let index = from; index <= to; index = index < to && index + stride > to ? to : index + stride) {
    const base = trace.baseline[index];
    if (Number.isNaN(base)) continue;
    xs.push(frame.px(trace.time[index]));
    ys.push(Math.min(Math.max(frame.py(base + over(index)), -40), frame.place.height + 40));
    feet.push(Math.min(Math.max(frame.py(base), -40), frame.place.height + 40));
  }
  return pathData([...xs, ...xs.slice().reverse()], [...ys, ...feet.reverse()], true);
}

/** Baseline, fills and line of a panel, cut off at its edges. */
export function panelBody(
  trace: DrawnTrace,
  frame: Frame,
  indexAt: (time: Float64Array, t: number) => number,
): string {
  const { place } = frame;
  let body = "";
  for (const peak of trace.peaks) {
    if (peak.fitted || peak.end < place.x[0] || peak.start > place.x[1]) continue;
    const [from, to] = [indexAt(trace.time, peak.start), indexAt(trace.time, peak.end)];
    const d = areaPath(trace, frame, from, to, (index) => trace.signal[index] - trace.baseline[index]);
    body += `<path class="ib-fill ${peak.refused ? "ib-refused " : ""}ib-${peak.color}" d="${d}"/>`;
  }
  for (const part of trace.components) {
    const last = part.first + part.values.length - 1;
    if (last < frame.first || part.first > frame.last) continue;
    const d = areaPath(trace, frame, part.first, last, (index) => part.values[index - part.first]);
    body += `<path class="ib-fill ${part.refused ? "ib-refused" : "ib-edge"} ib-${part.color}" d="${d}"/>`;
  }
  const xs: number[] = [];
  const ys: number[] = [];
  const stride = Math.max(1, Math.floor((frame.last - frame.first) / place.width));
  for (let index = frame.first; index <= frame.last; index += stride) {
    if (Number.isNaN(trace.baseline[index])) continue;
    xs.push(frame.px(trace.time[index]));
    ys.push(Math.min(Math.max(frame.py(trace.baseline[index]), -40), place.height + 40));
  }
  body += `<path class="ib-base" d="${pathData(xs, ys, false)}"/>`;
  body += `<path class="ib-line" d="${signalPath(trace, frame)}"/>`;
  return `<svg x="${place.left}" y="${place.top}" width="${place.width}" height="${place.height}"><g transform="scale(.1)">${body}</g></svg>`;
}

import type { DrawnPeak, DrawnStrip, DrawnTrace } from "./drawn-trace.js";
import { type PackedSeries, packSeries } from "./series-code.js";
import { runsOf } from "./strip-paths.js";

/** A drawn trace as plain data for the page's script. */
export interface PackedTrace {
  readonly axis: string;
  readonly noise: number;
  /** Regular time base, or every time packed. */
  readonly time: { readonly start: number; readonly step: number; readonly n: number } | PackedSeries;
  readonly signal: PackedSeries;
  /** Every `stride`-th point of the evaluated stretch from index `first` on; straight lines between. */
  readonly base:
    | { readonly first: number; readonly last: number; readonly stride: number; readonly at: PackedSeries }
    | undefined;
  readonly peaks: readonly DrawnPeak[];
  readonly components: readonly {
    readonly color: string;
    readonly first: number;
    readonly values: PackedSeries;
    readonly refused?: boolean;
  }[];
  readonly sum?: boolean;
  readonly strip?:
    | (Omit<DrawnStrip, "values"> & {
        readonly packed?: PackedSeries;
        /** First and last index of every stretch of numbers; between them is not-a-number. */
        readonly runs?: readonly (readonly [first: number, last: number])[];
      })
    | undefined;
  readonly traceLevel?: DrawnTrace["traceLevel"] | undefined;
}

/** Rounding of the packed signal: an eighth of the noise, far below what any zoom can show. */
const QUANTA_PER_NOISE = 8;

/** A trace packed for a page at the full resolution of the record; about 1.5 bytes of text a point. O(n). */
export function packTrace(trace: DrawnTrace): PackedTrace {
  const quantum = quantumOf(trace);
  return {
    axis: trace.axis,
    noise: trace.noise,
    time: packTime(trace.time),
    signal: packSeries(trace.signal, quantum),
    base: packBaseline(trace.baseline, quantum),
    peaks: trace.peaks.map((peak) => ({ ...peak, time: short(peak.time), height: short(peak.height) })),
    components: trace.components.map((component) => ({
      color: component.color,
      first: component.first,
      values: packSeries(component.values, quantum),
      ...(component.refused ? { refused: true } : {}),
    })),
    ...(trace.sum ? { sum: true } : {}),
    ...(trace.strip ? { strip: packStrip(trace.strip, quantum) } : {}),
    ...(trace.traceLevel ? { traceLevel: trace.traceLevel } : {}),
  };
}

function packStrip({ values, ...about }: DrawnStrip, quantum: number): PackedTrace["strip"] {
  if (values === undefined) return about;
  const own = about.range === undefined ? quantum : (about.range[1] - about.range[0]) / 2000;
  return { ...about, packed: packSeries(values, own), runs: runsOf(values, 0, values.length - 1) };
}

function quantumOf(trace: DrawnTrace): number {
  let [low, high] = [Infinity, -Infinity];
  for (const value of trace.signal) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const finest = Math.max(high - low, 1e-9) / 1e7;
  const wanted = trace.noise > 0 ? trace.noise / QUANTA_PER_NOISE : (high - low) / 1e5;
  return Number(Math.max(wanted, finest).toPrecision(2));
}

function packTime(time: Float64Array): PackedTrace["time"] {
  const n = time.length;
  const start = time[0];
  const step = n > 1 ? (time[n - 1] - start) / (n - 1) : 1;
  const regular = time.every((t, index) => Math.abs(t - start - index * step) <= 0.02 * step);
  return regular ? { start, step, n } : packSeries(time, Math.max(step / 1000, 1e-9));
}

function packBaseline(baseline: Float64Array, quantum: number): PackedTrace["base"] {
  let [first, last] = [0, baseline.length - 1];
  while (first <= last && Number.isNaN(baseline[first])) first += 1;
  while (last > first && Number.isNaN(baseline[last])) last -= 1;
  if (first > last) return undefined;
  let stride = 64;
  while (stride > 1 && interpolationError(baseline, first, last, stride) > 2 * quantum) stride /= 2;
  const at: number[] = [];
  for (let index = first; index < last; index += stride) at.push(baseline[index]);
  at.push(baseline[last]);
  return { first, last, stride, at: packSeries(at, quantum) };
}

/** Largest distance between the curve and straight lines through every `stride`-th point. */
function interpolationError(values: Float64Array, first: number, last: number, stride: number): number {
  let worst = 0;
  for (let left = first; left < last; left += stride) {
    const right = Math.min(left + stride, last);
    for (let index = left + 1; index < right; index += 1) {
      const line = values[left] + ((values[right] - values[left]) * (index - left)) / (right - left);
      worst = Math.max(worst, Math.abs(values[index] - line) || 0);
    }
  }
  return worst;
}

function short(value: number): number {
  return Number(value.toPrecision(7));
}

/**
 * The inverse of `packTrace`. Stands alone: its source text goes into the page; `unpackSeries` is handed in.
 */
export function unpackTrace(
  packed: PackedTrace,
  unpackSeries: (series: PackedSeries) => Float64Array,
): DrawnTrace {
  const signal = unpackSeries(packed.signal);
  const { time: times, base } = packed;
  const time =
    "start" in times
      ? Float64Array.from({ length: times.n }, (_, index) => times.start + index * times.step)
      : unpackSeries(times);
  const baseline = new Float64Array(signal.length).fill(NaN);
  if (base !== undefined) {
    const at = unpackSeries(base.at);
    for (let index = base.first; index <= base.last; index += 1) {
      const knot = Math.floor((index - base.first) / base.stride);
      const left = base.first + knot * base.stride;
      const right = Math.min(left + base.stride, base.last);
      const part = right > left ? (index - left) / (right - left) : 0;
      baseline[index] = part === 0 ? at[knot] : at[knot] + part * (at[knot + 1] - at[knot]);
    }
  }
  const stripValues = (): Float64Array | undefined => {
    const strip = packed.strip;
    if (strip === undefined || strip.packed === undefined) return undefined;
    const filled = unpackSeries(strip.packed);
    const values = new Float64Array(filled.length).fill(NaN);
    for (const [first, last] of strip.runs ?? [[0, filled.length - 1]])
      values.set(filled.subarray(first, last + 1), first);
    return values;
  };
  const values = stripValues();
  const components = packed.components.map((component) => ({
    color: component.color,
    first: component.first,
    values: unpackSeries(component.values),
    ...(component.refused ? { refused: true } : {}),
  }));
  return {
    ...(packed.sum ? { sum: true } : {}),
    ...(packed.strip ? { strip: { ...packed.strip, ...(values ? { values } : {}) } } : {}),
    ...(packed.traceLevel ? { traceLevel: packed.traceLevel } : {}),
    axis: packed.axis,
    time,
    signal,
    baseline,
    noise: packed.noise,
    peaks: packed.peaks,
    components,
  };
}

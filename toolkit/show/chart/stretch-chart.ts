import type { Chromatogram } from "../../signal/chromatogram.js";
import { stretchOf } from "../../signal/time-axis.js";
import { signalAxis } from "../trace/read-record.js";
import { axisTicks } from "../trace/trace-paths.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

/** A stretch of a record with its drift taken off. */
export interface DriftlessStretch {
  readonly time: Float64Array;
  readonly values: Float64Array;
}

/** The stretch from…to of a record without a line of the given slope (per min) through its mean. */
export function withoutDrift(
  { time, signal }: Chromatogram,
  from: number,
  to: number,
  drift: number,
): DriftlessStretch {
  const { first, last } = stretchOf(time, from - 1e-9, to + 1e-9);
  const times = time.slice(first, Math.max(first, last) + 1);
  const middle = times.reduce((sum, t) => sum + t, 0) / times.length;
  const values = signal
    .slice(first, Math.max(first, last) + 1)
    .map((y, index) => y - drift * (times[index] - middle));
  const mean = values.reduce((sum, y) => sum + y, 0) / values.length;
  return { time: times, values: values.map((y) => y - mean) };
}

/** One window of a stretch and what the values in it reach. */
interface WindowBox {
  readonly t: number;
  readonly end: number;
  readonly low: number;
  readonly high: number;
}

/** Whole windows of `length` min from the start of a stretch on. */
export function windowsOf({ time, values }: DriftlessStretch, length: number): readonly WindowBox[] {
  const boxes: WindowBox[] = [];
  const interval = (time[time.length - 1] - time[0]) / Math.max(time.length - 1, 1);
  for (let t = time[0]; t + length <= time[time.length - 1] + 1.01 * interval; t += length) {
    const { first, last, count } = stretchOf(time, t - 1e-9, t + length - 1e-9);
    if (count === 0) continue;
    const part = values.slice(first, last + 1);
    const [low, high] = part.reduce(
      ([least, most], y) => [Math.min(least, y), Math.max(most, y)],
      [Infinity, -Infinity],
    );
    boxes.push({ t, end: Math.min(t + length, time[time.length - 1]), low, high });
  }
  return boxes;
}

const WIDTH = 560;
const HEIGHT = 150;

/** Lowest and highest value of each pixel column, in order of time. */
function columns({ time, values }: DriftlessStretch): readonly { readonly t: number; readonly y: number }[] {
  const stride = Math.max(1, Math.ceil(values.length / WIDTH));
  const points: { t: number; y: number }[] = [];
  for (let from = 0; from < values.length; from += stride) {
    let [low, high] = [from, from];
    for (let index = from; index < Math.min(from + stride, values.length); index += 1) {
      if (values[index] < values[low]) low = index;
      if (values[index] > values[high]) high = index;
    }
    const kept = low === high ? [low] : [Math.min(low, high), Math.max(low, high)];
    for (const index of kept) points.push({ t: time[index], y: values[index] });
  }
  return points;
}

/** A stretch of baseline, drift taken off, with a box over each window from its lowest to its highest value. */
export function stretchChart(
  stretch: DriftlessStretch,
  boxes: readonly WindowBox[],
  signalUnit: string,
): ChartSpec {
  const points = columns(stretch);
  const reach = Math.max(...points.map(({ y }) => Math.abs(y)), 1e-12) * 1.1;
  const ticks = axisTicks(-reach, reach, 3);
  const span = [stretch.time[0], stretch.time[stretch.time.length - 1]];
  const x: SpecPart = {
    field: "t",
    type: "quantitative",
    scale: { domain: span, nice: false, zero: false },
    axis: { title: "time / min", tickCount: 7 },
  };
  const y: SpecPart = {
    field: "y",
    type: "quantitative",
    scale: { domain: [-reach, reach], nice: false },
    axis: { title: signalAxis(signalUnit), values: ticks.at, format: `.${ticks.decimals}f`, grid: true },
  };
  const box = { type: "rect", fill: INK.soft, fillOpacity: 0.1, stroke: INK.soft, strokeOpacity: 0.5 };
  return chartSpec({
    width: WIDTH,
    height: HEIGHT,
    layer: [
      {
        data: { values: boxes },
        mark: { ...box, strokeWidth: 0.8 },
        encoding: { x, x2: { field: "end" }, y: { ...y, field: "low" }, y2: { field: "high" } },
      },
      {
        data: { values: points },
        mark: { type: "line", color: INK.ink, strokeWidth: 0.8 },
        encoding: { x, y },
      },
    ],
  });
}

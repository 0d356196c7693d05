import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

const MOST_BARS = 180;

/** Correlation over lag (s) as bars from zero, thinned to what can be seen. */
export function correlogramChart(values: Float64Array, secondsPerLag: number): ChartSpec {
  const stride = Math.max(1, Math.ceil(values.length / MOST_BARS));
  const bars = Array.from(values, (value, lag) => ({
    lag: lag * secondsPerLag,
    r: value / values[0],
  })).filter((_, lag) => lag % stride === 0);
  const low = Math.min(-0.15, ...bars.map(({ r }) => r));
  const end = (values.length - 1) * secondsPerLag;
  const x: SpecPart = {
    field: "lag",
    type: "quantitative",
    scale: { domain: [-0.01 * end, 1.01 * end], nice: false, zero: false },
    axis: { title: "lag / s", tickCount: 7, offset: 4 },
  };
  const y: SpecPart = {
    field: "r",
    type: "quantitative",
    scale: { domain: [low, 1], nice: false },
    axis: { title: "autocorrelation", values: [0, 0.5, 1], format: ".1f", grid: true },
  };
  const bar = { type: "rule", color: INK.ink, strokeWidth: Math.min(2, 400 / bars.length) };
  return chartSpec({
    width: 560,
    height: 130,
    layer: [
      {
        data: { values: bars.map((each) => ({ ...each, foot: 0 })) },
        mark: bar,
        encoding: { x, y, y2: { field: "foot" } },
      },
      {
        data: { values: [{ r: 0 }] },
        mark: { type: "rule", color: INK.soft, strokeWidth: 0.8 },
        encoding: { y },
      },
    ],
  });
}

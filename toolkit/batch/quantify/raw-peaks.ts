import { detectPeaks } from "../../peaks/detection/detect.js";
import { gaussianSmooth } from "../../signal/smooth.js";
import type { Hump, PreparedTrace } from "./prepared-trace.js";
import type { TimedPeak } from "./retention.js";
import type { WidthCurve } from "./width-curve.js";

/** A detected peak before it has a name. */
export interface RawPeak extends TimedPeak {
  /** Apex, index into the corrected signal. */
  readonly index: number;
  /** Filter output in units of its own spread. */
  readonly significance: number;
  /** Much wider than the column's peaks at that time, or on a hump that every blank shows. */
  readonly broad: boolean;
}

/** False peaks accepted per record: few enough that a batch of a hundred holds about one. */
const FALSE_PEAKS = 0.01;
/** A peak of the column answers the filter with at least this share of what its height promises. */
const LEAST_NARROWNESS = 0.55;

/** Peaks of one prepared trace, in time order. */
export function rawPeaks(
  trace: PreparedTrace,
  widths: WidthCurve,
  humps: readonly Hump[],
): readonly RawPeak[] {
  const { corrected, interval, start, noise } = trace;
  const sigmaAt = (index: number) => widths.at(start + index * interval) / interval;
  const found = detectPeaks(corrected, { widthAt: sigmaAt, falsePeaks: FALSE_PEAKS });
  return found.map(({ index, significance }) => {
    const sigma = sigmaAt(index);
    const smooth = smoothAround(corrected, index, sigma);
    const height = smooth.values[index - smooth.from];
    const apex = parabolicApex(smooth.values, index - smooth.from) + smooth.from;
    const snr = Math.max(height / Math.max(noise, Number.MIN_VALUE), 1);
    const time = start + apex * interval;
    const onHump = humps.some((h) => Math.abs(h.time - time) < 0.7 * h.sigma);
    const broad = narrowness(corrected, index, sigma) < (onHump ? 1.3 : 1) * LEAST_NARROWNESS;
    return {
      index: Math.round(apex),
      time,
      uTime: interval * (0.1 + (1.6 * sigma) / (snr * Math.sqrt(sigma))),
      height,
      area: height * sigma * interval * Math.sqrt(2 * Math.PI),
      significance,
      broad,
    };
  });
}

/**
 * How much of a bump is a peak of the expected width: the height that the zero-area filter sees over the height
 * above the chord between the points 3.5 σ to both sides. 1 for a Gaussian of that σ, 0.55 for one twice as wide,
 * 0.4 for one three times as wide, whatever it stands on.
 */
function narrowness(y: Float64Array, index: number, sigma: number): number {
  const scale = Math.max(0.8 * sigma, 1);
  const half = Math.ceil(5 * scale);
  let response = 0;
  for (let k = -half; k <= half; k++) {
    const u = k / scale;
    const at = Math.min(Math.max(index + k, 0), y.length - 1);
    response += (1 - u * u) * Math.exp(-0.5 * u * u) * y[at];
  }
  response /= scale ** 3 * Math.sqrt(2 * Math.PI);
  const seen = (response * (sigma * sigma + scale * scale) ** 1.5) / sigma;
  const reach = Math.round(3.5 * sigma);
  const near = Math.max(1, Math.round(0.4 * sigma));
  const chord = 0.5 * (meanAround(y, index - reach, near) + meanAround(y, index + reach, near));
  return seen / Math.max(meanAround(y, index, near) - chord, Number.MIN_VALUE);
}

function meanAround(y: Float64Array, at: number, half: number): number {
  let sum = 0;
  for (let k = -half; k <= half; k++) sum += y[Math.min(Math.max(at + k, 0), y.length - 1)];
  return sum / (2 * half + 1);
}

/** A smoothed piece around a peak, wide enough for its half-height crossings. */
function smoothAround(y: Float64Array, index: number, sigma: number) {
  const reach = Math.ceil(12 * sigma);
  const from = Math.max(0, index - reach);
  const piece = y.subarray(from, Math.min(y.length, index + reach + 1));
  return { from, values: gaussianSmooth(piece, Math.max(0.7, 0.2 * sigma)) };
}

/** Vertex of the parabola through the highest point and its neighbours, index units. */
export function parabolicApex(y: Float64Array, at: number): number {
  if (at < 1 || at > y.length - 2) return at;
  const bend = y[at - 1] - 2 * y[at] + y[at + 1];
  if (!(bend < 0)) return at;
  return at + Math.min(Math.max((0.5 * (y[at - 1] - y[at + 1])) / bend, -0.5), 0.5);
}

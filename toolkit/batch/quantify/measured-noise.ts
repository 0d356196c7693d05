import type { PeakAndNoise } from "../../limits/ladder-types.js";
import { median } from "../../numeric/robust.js";
import { relativeHalfWidth } from "../../peaks/shape/integration-window.js";
import { gaussianSmooth } from "../../signal/smooth.js";
import { type IonCurve, peakOf } from "./calibrate-ions.js";
import type { EvaluatedChannel, EvaluatedRun } from "./evaluate-channel.js";
import type { PreparedTrace } from "./prepared-trace.js";

/** A peak of a blank is kept out of its noise from so many σ before to so many behind its apex. */
const BEFORE = 5;
const BEHIND = 8;
/** min */
const ROUNDING = 1e-9;
/** The pharmacopoeias look at so many widths at half height, the peak's place in their middle. */
const WIDTHS = 5;
/** Levels that are tried, from the lowest, for one whose every injection shows the peak. */
const LOWEST_LEVELS = 3;
/** A height is read off the record smoothed by this share of the peak's σ. */
const SMOOTHING = 0.2;

/**
 * Height of an ion's peak at the lowest level that shows it, and the noise of the blanks at its place: what limits by
 * signal to noise are computed from. Undefined where no blank has a free stretch, or none of the three lowest levels
 * shows the peak in every injection.
 *
 *     H  mean over the level's injections, apex above the baseline
 *     h  median over the blanks of highest − lowest reading within 2.5 widths at half height to both sides; where the
 *        blank shows a peak there, over as long a stretch beside it
 *
 * Both in µS/cm, above the baseline the areas are measured over, so that drift is taken off. Blanks from which their
 * own common course was subtracted scatter too little, by √(1 − 1/n): h is stretched back.
 *
 * @source window and h: Ph. Eur. 2.2.46 and USP <621> (from memory); median over blanks: common practice, no source
 */
export function measuredNoise(
  channel: EvaluatedChannel,
  j: number,
  fitted: IonCurve,
): PeakAndNoise | undefined {
  const blanks = channel.runs.filter(({ injection }) => injection.kind === "blank");
  if (blanks.length === 0) return undefined;
  const lowest = lowestPeak(channel, j, fitted);
  if (lowest === undefined) return undefined;
  const width = channel.shapes[j].sigma * relativeHalfWidth(channel.shapes[j]);
  const spans = blanks.flatMap((run) => spanNear(run, j, width, channel) ?? []);
  if (spans.length === 0) return undefined;
  const own = blanks.length > 1 && blanks.every(({ trace }) => courseSubtracted(trace));
  const peakToPeak = median(spans) / Math.sqrt(own ? 1 - 1 / blanks.length : 1);
  if (!(peakToPeak > 0)) return undefined;
  return { ...lowest, peakToPeak, widths: WIDTHS };
}

/** Content and mean height of the lowest level whose injections all show the peak. */
function lowestPeak(
  channel: EvaluatedChannel,
  j: number,
  { points }: IonCurve,
): Pick<PeakAndNoise, "concentration" | "height"> | undefined {
  const runs = new Map(channel.runs.map((run) => [run.injection.id, run]));
  const used = points.filter(({ rejected, concentration }) => rejected === undefined && concentration > 0);
  const levels = [...new Set(used.map(({ concentration }) => concentration))].sort((a, b) => a - b);
  for (const concentration of levels.slice(0, LOWEST_LEVELS)) {
    const heights = used
      .filter((point) => point.concentration === concentration)
      .map(({ injection }) => heightIn(runs.get(injection), j, channel.shapes[j].sigma));
    const height = heights.reduce((sum, each) => sum + each, 0) / heights.length;
    if (height > 0) return { concentration, height };
  }
  return undefined;
}

/** Apex above the baseline, µS/cm; NaN where no peak was found. */
function heightIn(run: EvaluatedRun | undefined, j: number, sigma: number): number {
  const index = run && peakOf(run, j)?.raw?.index;
  if (run === undefined || index === undefined) return Number.NaN;
  const { corrected, interval } = run.trace;
  const inSamples = sigma / interval;
  const smoothing = Math.max(SMOOTHING * inSamples, 0.5);
  const reach = Math.ceil(5 * smoothing);
  const from = Math.max(0, index - reach);
  const piece = corrected.subarray(from, Math.min(corrected.length, index + reach + 1));
  // Smoothing widens a Gaussian from σ to √(σ² + s²) and lowers its apex by as much.
  return gaussianSmooth(piece, smoothing)[index - from] * Math.hypot(1, smoothing / inSamples);
}

/** Highest − lowest reading of a blank nearest to the ion's place, over five widths; undefined where it has no room. */
function spanNear(
  run: EvaluatedRun,
  j: number,
  width: number,
  { widths }: EvaluatedChannel,
): number | undefined {
  const at = peakOf(run, j)?.time;
  if (at === undefined) return undefined;
  const { corrected, interval, start } = run.trace;
  const half = (WIDTHS / 2) * width;
  const end = start + (corrected.length - 1) * interval;
  const peaks = run.peaks.flatMap(({ raw, broad }): (readonly [number, number])[] =>
    raw === undefined || broad
      ? []
      : [[raw.time - BEFORE * widths.at(raw.time), raw.time + BEHIND * widths.at(raw.time)]],
  );
  const free = (centre: number) =>
    centre - half >= start - ROUNDING &&
    centre + half <= end + ROUNDING &&
    peaks.every(([from, to]) => centre + half <= from + ROUNDING || centre - half >= to - ROUNDING);
  const places = [at, start + half, end - half, ...peaks.flatMap(([from, to]) => [from - half, to + half])];
  const [nearest] = places.filter(free).sort((p, q) => Math.abs(p - at) - Math.abs(q - at));
  if (nearest === undefined) return undefined;
  const first = Math.max(0, Math.round((nearest - half - start) / interval));
  const last = Math.min(corrected.length - 1, Math.round((nearest + half - start) / interval));
  let [low, high] = [corrected[first], corrected[first]];
  for (let i = first; i <= last; i++) {
    if (corrected[i] < low) low = corrected[i];
    if (corrected[i] > high) high = corrected[i];
  }
  return high - low;
}

/** Whether the blanks' common course was taken off this record. */
function courseSubtracted({ own, chromatogram, offset }: PreparedTrace): boolean {
  return own.some((value, i) => value !== chromatogram.signal[offset + i]);
}

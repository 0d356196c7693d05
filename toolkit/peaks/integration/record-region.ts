import { median } from "../../numeric/robust.js";
import type { Baseline } from "../../signal/baseline.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import type { MaskedBaseline } from "../../signal/masked-baseline.js";
import { whiteNoise } from "../../signal/noise.js";
import { evenInterval, indexAt } from "../../signal/time-axis.js";
import type { FoundPeak } from "../detection/find-peaks.js";
import { integrationWindow } from "../shape/integration-window.js";
import { type PeakShapeAt, shapeAt } from "../shape/peak-shape-at.js";
import { roughShape } from "./learn-peak-shapes.js";
import type { PlacedPeak } from "./placed-peak.js";

/** The evaluated region of a record; indices count from its first sample. */
export interface RecordRegion {
  readonly chromatogram: Chromatogram;
  /** Index of the region's first sample in the record. */
  readonly offset: number;
  /** min */
  readonly start: number;
  readonly interval: number;
  readonly signal: Float64Array;
  /** Signal less baseline. */
  readonly y: Float64Array;
  /** The baseline as the linear measure of the signal that it is once its weights are settled. */
  readonly baseline: MaskedBaseline;
  readonly white: number;
}

/** Stiffer baselines answer like this one as far as areas are concerned, and double precision still solves it. */
const STIFFEST = 1e12;

/** Samples from which a spread is worth something. */
const FEWEST = 50;

export function regionOf(chromatogram: Chromatogram, baseline: Baseline, peakWidth: number): RecordRegion {
  const { time, signal } = chromatogram;
  const offset = indexAt(time, baseline.from);
  const last = indexAt(time, baseline.to);
  const interval = evenInterval(chromatogram, offset, last);
  const values = baseline.values.slice(offset, last + 1);
  const cut = signal.slice(offset, last + 1);
  const weights =
    baseline.weights.length > 0
      ? baseline.weights.slice(offset, last + 1)
      : new Float64Array(values.length).fill(1);
  const lambda = baseline.lambda ?? ((2 * peakWidth) / interval) ** 4;
  return {
    chromatogram,
    offset,
    start: time[offset],
    interval,
    signal: cut,
    y: cut.map((value, i) => value - values[i]),
    baseline: { values, weights, lambda: Math.min(lambda, STIFFEST) },
    white: whiteNoise(cut),
  };
}

/** Tail assumed where nothing is known, τ/σ (common practice, no source). */
const TYPICAL_TAIL = 0.3;
/** Second moment of that tail in the width at half height. */
const NARROWER = Math.sqrt(1 + 0.3 * TYPICAL_TAIL ** 2);

/** A peak this many times above the noise shows its own width. */
const CLEAR = 30;

/** Whether a time lies outside the stretch in which shapes are known. */
function beyond(shapes: readonly PeakShapeAt[], time: number): boolean {
  if (shapes.length === 0) return true;
  const { retentionTime: first, sigma } = shapes[0];
  return time < first - 0.5 * sigma || time > shapes[shapes.length - 1].retentionTime + 0.5 * sigma;
}

/** Found peaks as the engine wants them, with the shape that is known for their place. */
export function placePeaks(
  { start, interval, y }: RecordRegion,
  peaks: readonly Pick<FoundPeak, "retentionTime" | "signalToNoise">[],
  shapes: readonly PeakShapeAt[],
  peakWidth: number,
): readonly PlacedPeak[] {
  const unknown = { sigma: peakWidth / NARROWER, tau: (TYPICAL_TAIL * peakWidth) / NARROWER };
  const apexes = peaks.map(({ retentionTime }) =>
    Math.round(Math.min(Math.max((retentionTime - start) / interval, 0), y.length - 1)),
  );
  return peaks.map(({ retentionTime, signalToNoise }, k) => {
    const apex = apexes[k];
    const own =
      signalToNoise > CLEAR && beyond(shapes, retentionTime)
        ? roughShape(
            y,
            apex,
            apexes.filter((_, j) => j !== k),
          )
        : undefined;
    const { sigma, tau } =
      own !== undefined && own.sigma > 0
        ? { sigma: own.sigma * interval, tau: own.tau * interval }
        : (shapeAt(shapes, retentionTime) ?? unknown);
    return {
      apex,
      sigma: Math.max(sigma / interval, 1),
      tau: Math.max(tau, 1e-6 * sigma) / interval,
      present: true,
      sumPerFit: 1,
    };
  });
}

/** 1 where no peak's window lies. */
export function freeOfPeaks(length: number, peaks: readonly PlacedPeak[]): Uint8Array {
  const free = new Uint8Array(length).fill(1);
  for (const peak of peaks) {
    const [first, last] = peak.window ?? integrationWindow(peak.apex, peak, 1, length);
    free.fill(0, first, last + 1);
  }
  return free;
}

/** Robust standard deviation of the free samples about the baseline; the white one where few are free. */
export function spreadOf({ y, white }: Pick<RecordRegion, "y" | "white">, free: Uint8Array): number {
  const values = y.filter((_, i) => free[i] === 1).map(Math.abs);
  return values.length < FEWEST ? white : Math.max(white, 1.4826 * median(values));
}

/** First and last index of the longest run of free samples. */
export function longestFree(free: Uint8Array): readonly [first: number, last: number] | undefined {
  let best: readonly [number, number] | undefined;
  let from = -1;
  for (let i = 0; i <= free.length; i++) {
    if (i < free.length && free[i]) {
      if (from < 0) from = i;
    } else if (from >= 0) {
      if (best === undefined || i - from > best[1] - best[0] + 1) best = [from, i - 1];
      from = -1;
    }
  }
  return best;
}

import { arpls, stiffnessFor } from "../../signal/arpls.js";
import { whiteNoise } from "../../signal/noise.js";
import { widthAtHalf } from "../../signal/peak-width.js";
import { gaussianSmooth } from "../../signal/smooth.js";
import type { MethodIon } from "../types.js";
import type { CutTrace } from "./prepared-trace.js";
import { type WidthCurve, widthCurve } from "./width-curve.js";

/** Peak standard deviation assumed for the first rough baseline, min (common practice, no source). */
const FIRST_GUESS = 0.09;

/**
 * Peak width along the run, read from the clear peaks of the standards inside the method's windows at half
 * height over a rough baseline; a guess of 0.09 min where no standard shows a clear peak.
 */
export function firstWidths(cuts: readonly CutTrace[], ions: readonly MethodIon[]): WidthCurve {
  const pairs = cuts.flatMap((cut) => (cut.injection.kind === "calibration" ? clearPeaks(cut, ions) : []));
  return widthCurve(pairs.length > 0 ? pairs : [{ time: cuts[0].start, sigma: FIRST_GUESS }]);
}

function clearPeaks(cut: CutTrace, ions: readonly MethodIon[]): { time: number; sigma: number }[] {
  const { y, interval, start } = cut;
  const { values } = arpls(y, stiffnessFor(FIRST_GUESS, interval, 3));
  const x = gaussianSmooth(
    y.map((value, i) => value - values[i]),
    Math.max(1, 0.015 / interval),
  );
  const least = 40 * whiteNoise(y);
  return ions.flatMap((ion) => {
    const from = Math.max(1, Math.round((ion.retentionTime - ion.window - start) / interval));
    const to = Math.min(x.length - 2, Math.round((ion.retentionTime + ion.window - start) / interval));
    let top = from;
    for (let i = from; i <= to; i++) if (x[i] > x[top]) top = i;
    if (top <= from || top >= to || x[top] < least) return [];
    const width = widthAtHalf(x, top);
    return width === undefined ? [] : [{ time: start + top * interval, sigma: (width * interval) / 2.4 }];
  });
}

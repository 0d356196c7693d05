import type { FittedPeaks } from "../../peaks/fitting/fit-peaks.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity } from "../text/numbers.js";
import type { DrawnTrace } from "./drawn-trace.js";
import { signalAxis } from "./read-record.js";

/** The curves of a fit, as far as its picture needs them. */
export type FitCurves = Pick<
  FittedPeaks,
  | "chromatogram"
  | "time"
  | "signal"
  | "backgroundCurve"
  | "components"
  | "peaks"
  | "residualStandardDeviation"
>;

/** Neighbouring components differ in tone; which is which is said by their numbers. */
const TONES = ["slate", "unknown"] as const;

/** A fit as the drawing sees it: record, background, numbered components, their sum, and what is left over. */
export function readFit(fit: FitCurves): DrawnTrace {
  const { signalUnit } = fit.chromatogram;
  const axis = signalAxis(signalUnit);
  return {
    axis,
    time: fit.time,
    signal: fit.signal,
    baseline: fit.backgroundCurve,
    noise: fit.residualStandardDeviation,
    peaks: fit.peaks.map((peak, k) => ({
      label: String(k + 1),
      color: TONES[k % TONES.length],
      named: true,
      system: false,
      time: peak.retentionTime,
      start: peak.start,
      end: peak.end,
      height: peak.height,
      about: `peak ${k + 1} · ${quantity(fixed(peak.retentionTime, 3), "min")} · area ${measuredText(peak.area)}`,
      fitted: true,
    })),
    components: fit.components.map((values, k) => ({ color: TONES[k % TONES.length], first: 0, values })),
    sum: true,
    strip: { title: `residual${axis.slice(axis.indexOf(" /"))}` },
  };
}

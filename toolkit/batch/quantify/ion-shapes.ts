import { median } from "../../numeric/robust.js";
import { fitEmgCluster } from "../../peaks/fitting/emg-cluster.js";
import { emgApexShift } from "../../peaks/shape/emg.js";
import { integrationWindow } from "../../peaks/shape/integration-window.js";
import type { PreparedTrace } from "./prepared-trace.js";
import type { RawPeak } from "./raw-peaks.js";
import type { WidthCurve } from "./width-curve.js";

/** What an ion's peak looks like on this system; min. */
export interface IonShape {
  readonly sigma: number;
  readonly tau: number;
  /** Area summed over the fixed window per area of the fitted EMG. */
  readonly sumPerFit: number;
  /** From how many standards; 0 for a shape taken over from the neighbours. */
  readonly readings: number;
}

/** A peak of a standard with its name. */
export interface NamedStandardPeak {
  readonly trace: PreparedTrace;
  /** All peaks of the trace, in order. */
  readonly peaks: readonly RawPeak[];
  readonly at: number;
}

/** Peaks below this height over noise say little about shape. */
const LEAST_SNR = 40;
const TYPICAL_TAIL = 0.3;

interface ShapeReading {
  readonly sigma: number;
  readonly tau: number;
  readonly sumPerFit: number | undefined;
}

/** Shape of one ion from its peaks in the standards: medians of single and joint EMG fits. */
export function learnShape(
  standards: readonly NamedStandardPeak[],
  widths: WidthCurve,
): IonShape | undefined {
  const readings = standards.flatMap((s) => {
    const reading = readShape(s, widths);
    return reading ? [reading] : [];
  });
  if (readings.length === 0) return undefined;
  const sums = readings.flatMap((r) => (r.sumPerFit === undefined ? [] : [r.sumPerFit]));
  return {
    sigma: median(readings.map((r) => r.sigma)),
    tau: median(readings.map((r) => r.tau)),
    sumPerFit: sums.length > 0 ? median(sums) : Number.NaN,
    readings: readings.length,
  };
}

function readShape({ trace, peaks, at }: NamedStandardPeak, widths: WidthCurve): ShapeReading | undefined {
  const peak = peaks[at];
  if (peak.height < LEAST_SNR * trace.noise) return undefined;
  const { corrected, interval } = trace;
  const shapeAt = (p: RawPeak) => {
    const sigma = widths.at(p.time) / interval;
    return { sigma: sigma / Math.sqrt(1 + 0.3 * TYPICAL_TAIL ** 2), tau: TYPICAL_TAIL * sigma };
  };
  const windowOf = (p: RawPeak) => integrationWindow(p.index, shapeAt(p), 1, corrected.length);
  const [first, last] = windowOf(peak);
  const members = peaks.filter((p) => {
    const [a, b] = windowOf(p);
    return p === peak || (b > first && a < last);
  });
  if (members.some((m) => m.height > 30 * peak.height)) return undefined;
  const from = Math.min(...members.map((m) => windowOf(m)[0]));
  const to = Math.max(...members.map((m) => windowOf(m)[1]));
  const y = corrected.slice(from, to + 1);
  const starts = members.map((m) => {
    const shape = shapeAt(m);
    return { mu: m.index - from - emgApexShift(TYPICAL_TAIL) * shape.sigma, ...shape };
  });
  const fit = fitEmgCluster(
    Float64Array.from(y, (_, i) => i),
    y,
    starts,
    { sharedShape: members.length > 1, priors: { mu: 1, lnSigma: 0.4, lnTau: 0.8 }, noise: trace.noise },
  );
  const which = members.indexOf(peak);
  const fitted = fit.peaks[which];
  if (!(fitted.area > 0)) return undefined;
  let sumPerFit: number | undefined;
  if (members.length === 1) {
    const shape = { sigma: fitted.sigma, tau: fitted.tau };
    const [a, b] = integrationWindow(peak.index, shape, 1, corrected.length);
    let sum = 0;
    for (let i = a; i <= b; i++) sum += corrected[i];
    sumPerFit = sum / fitted.area;
  }
  return { sigma: fitted.sigma * interval, tau: fitted.tau * interval, sumPerFit };
}

import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { fromCovariance, type MeasuredValue } from "../../uncertainty/measured.js";
import { emg, emgApexShift } from "../shape/emg.js";
import { integrationWindow } from "../shape/integration-window.js";
import { apexOf, type FittedShapeName, kernelOf, shapeAt } from "../shape/shape-kernels.js";
import type { ClusterFit, FittedPeak } from "./emg-cluster-types.js";
import { diagnoseFit, type FitDiagnostics } from "./fit-diagnostics.js";
import type { FitWindow } from "./fit-starts.js";
import { type NaturalCovariance, naturalCovariance } from "./natural-covariance.js";
import { type UnseenTail, unseenTails } from "./unseen-tails.js";
import type { WindowCurves } from "./window-curves.js";

/** One peak of a fit; times in min, height in the signal's unit. */
export interface PeakOfFit {
  /** Apex. */
  readonly retentionTime: number;
  /** In the signal's unit times min. */
  readonly area: MeasuredValue;
  readonly height: number;
  /** Centre of the Gaussian part. */
  readonly mu: number;
  readonly sigma: number;
  /** 0 for a shape without an exponential. */
  readonly tau: number;
  /** Overload of an "hvl" peak: > 0 with the apex early. */
  readonly q?: number;
  /** Skew of a "skew-normal" peak. */
  readonly alpha?: number;
  /** Limits that hold practically all of it. */
  readonly start: number;
  readonly end: number;
}

export interface FittedPeaks extends NaturalCovariance, WindowCurves {
  readonly kind: "fitted-peaks";
  readonly chromatogram: Chromatogram;
  readonly shape: FittedShapeName;
  /** In order of their starts in time, as the numbers in `parameters` count them. */
  readonly peaks: readonly PeakOfFit[];
  /** Level in the middle of the window, and slope per min, as far as fitted. */
  readonly background: readonly number[];
  readonly diagnostics: FitDiagnostics;
  /** Peaks that are Gaussians as far as the record shows: their τ says nothing. */
  readonly unseenTails: readonly UnseenTail[];
  readonly residualStandardDeviation: number;
  readonly residualSumOfSquares: number;
  readonly dof: number;
  readonly iterations: number;
  readonly converged: boolean;
  /** Why the fit ended. */
  readonly reason: string;
  /** Window of the fit, min. */
  readonly from: number;
  readonly to: number;
  toString(): string;
}

const SHAPE_WORDS: Readonly<Record<FittedShapeName, string>> = {
  gaussian: "Gaussian",
  emg: "exponentially modified Gaussian",
  hvl: "Haarhoff–Van der Linde shape with an exponential",
  "skew-normal": "skew-normal shape",
};

/** How a window was fitted. */
export interface HowFitted {
  readonly shape: FittedShapeName;
  readonly sharedShape: boolean;
  /** σ at the start of each peak. */
  readonly sigmas: readonly number[];
  readonly blankStandardDeviation?: number | undefined;
}

/** The result of a fit from the fitted cluster. */
export function describeFittedPeaks(
  of: Chromatogram,
  window: FitWindow,
  fit: ClusterFit,
  how: HowFitted,
): FittedPeaks {
  const { from, to, time, signal } = window;
  const dof = Math.max(time.length - fit.parameterCount, 1);
  const variance = fit.residualSumOfSquares / dof;
  const half = 0.5 * (to - from);
  const natural = naturalCovariance(fit, variance, { ...how, half, kernel: kernelOf(how.shape) });
  const areas = measuredAreas(of, window, fit, natural, dof);
  const peaks = fit.peaks.map((peak, k) => onePeak(of, peak, areas[k], how.shape));
  const residualStandardDeviation = Math.sqrt(variance);
  const curves = fittedCurves(window, fit);
  const end = outcome(fit, signal, residualStandardDeviation);
  const interval = (to - from) / Math.max(time.length - 1, 1);
  const result = {
    kind: "fitted-peaks" as const,
    chromatogram: of,
    shape: how.shape,
    peaks,
    background: fit.background.map((value, power) => (power === 0 ? value : value / half)),
    time,
    signal,
    ...curves,
    ...natural,
    diagnostics: diagnoseFit({
      ...curves,
      shape: SHAPE_WORDS[how.shape],
      narrowest: Math.min(...peaks.map(({ sigma }) => sigma)) / interval,
      dof,
      blankStandardDeviation: how.blankStandardDeviation,
      atBound: numbersWhere(fit.atBound),
      lost: numbersWhere(fit.peaks.map(({ area }) => area === 0)),
    }),
    unseenTails: unseenTails(natural, peaks),
    residualStandardDeviation,
    residualSumOfSquares: fit.residualSumOfSquares,
    dof,
    iterations: fit.iterations,
    ...end,
    from,
    to,
    toString() {
      const lines = peaks.map((p) => `  ${p.retentionTime.toFixed(3)} min: ${p.area}`);
      const state = end.converged ? "converged" : `not converged (${end.reason})`;
      return `fit of ${of.id}, ${from.toFixed(2)}–${to.toFixed(2)} min, ${state}\n${lines.join("\n")}`;
    },
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  };
  return result;
}

function numbersWhere(is: readonly boolean[]): readonly number[] {
  return is.flatMap((yes, k) => (yes ? [k + 1] : []));
}

function fittedCurves({ time, signal }: FitWindow, fit: ClusterFit) {
  const components = fit.peaks.map((_, k) => fit.component(k));
  const [level = 0, slope = 0] = fit.background;
  const middle = 0.5 * (time[0] + time[time.length - 1]);
  const half = Math.max(0.5 * (time[time.length - 1] - time[0]), Number.MIN_VALUE);
  const backgroundCurve = time.map((t) => level + (slope * (t - middle)) / half);
  const fitted = backgroundCurve.slice();
  for (const component of components) for (let i = 0; i < fitted.length; i++) fitted[i] += component[i];
  return { components, backgroundCurve, fitted, residuals: signal.map((value, i) => value - fitted[i]) };
}

/** A record followed to this share of its span is followed as far as numbers go. */
const ROUNDING = 1e-9;

/** Whether the fit may be believed, and why it ended. */
function outcome(
  fit: ClusterFit,
  signal: Float64Array,
  residual: number,
): Pick<FittedPeaks, "converged" | "reason"> {
  const lost = fit.peaks.findIndex(({ area }) => area === 0);
  if (lost >= 0)
    return { converged: false, reason: `no area is left for peak ${lost + 1}: start it nearer to its apex` };
  let [low, high] = [signal[0], signal[0]];
  for (const value of signal) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  if (residual < ROUNDING * (high - low))
    return { converged: true, reason: "the record is followed to rounding" };
  return { converged: fit.converged, reason: fit.reason };
}

function measuredAreas(
  of: Chromatogram,
  { from, to }: FitWindow,
  fit: ClusterFit,
  { covariance }: NaturalCovariance,
  dof: number,
): readonly MeasuredValue[] {
  const n = fit.peaks.length;
  const names = fit.peaks.map((_, k) => `area ${k + 1}`);
  const values = Object.fromEntries(fit.peaks.map((peak, k) => [names[k], peak.area]));
  const block = covariance.slice(0, n).map((row) => row.slice(0, n));
  const about = { source: `fit of ${of.id}, ${from.toFixed(3)}–${to.toFixed(3)} min`, dof };
  const measured = fromCovariance(values, `${of.signalUnit}·min`, block, about);
  return names.map((name) => measured[name]);
}

export function onePeak(
  of: Chromatogram,
  { area: fittedArea, ...peak }: FittedPeak,
  area: MeasuredValue,
  shape: FittedShapeName,
): PeakOfFit {
  const { sigma, tau } = peak;
  const { apex, density } = topOf(peak, shape);
  const [start, end] = limits(of.time, apex, shape === "hvl" ? overloadedWidth(peak) : sigma, tau);
  return { retentionTime: apex, area, height: fittedArea * density, ...peak, start, end };
}

function topOf(peak: Omit<FittedPeak, "area">, shape: FittedShapeName): { apex: number; density: number } {
  const { mu, sigma, tau } = peak;
  if (shape === "emg" || shape === "gaussian") {
    const apex = mu + emgApexShift(tau / sigma) * sigma;
    return { apex, density: emg(apex, mu, sigma, tau) };
  }
  const kernel = kernelOf(shape);
  const parameters = Float64Array.of(mu, sigma, ...kernel.further.map(({ name }) => peak[name] ?? 0));
  const apex = apexOf(kernel, parameters);
  return { apex, density: shapeAt(kernel, parameters, apex) };
}

/** Overload widens a peak: its apex moves by about 0.4 σ per unit of q, its flank stays. */
function overloadedWidth({ sigma, q = 0 }: Omit<FittedPeak, "area">): number {
  return sigma * (1 + 0.1 * Math.abs(q));
}

/** The window over which such a peak would be summed, mirrored for a front. */
function limits(time: Float64Array, apex: number, sigma: number, tau: number): readonly [number, number] {
  const n = time.length;
  const interval = (time[n - 1] - time[0]) / (n - 1);
  const shape = { sigma: sigma / interval, tau: Math.abs(tau) / interval };
  const at = (apex - time[0]) / interval;
  const [first, last] =
    tau < 0
      ? integrationWindow(n - 1 - at, shape, 1, n)
          .map((i) => n - 1 - i)
          .reverse()
      : integrationWindow(at, shape, 1, n);
  return [time[0] + first * interval, time[0] + last * interval];
}

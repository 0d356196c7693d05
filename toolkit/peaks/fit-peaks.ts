import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import type { Chromatogram } from "../signal/chromatogram.js";
import { requireChromatogram } from "../signal/require-chromatogram.js";
import { fromCovariance, type MeasuredValue } from "../uncertainty/measured.js";
import { emg, emgApexShift } from "./emg.js";
import { type ClusterFit, type ClusterOptions, fitEmgCluster } from "./emg-cluster.js";
import {
  type CompleteStart,
  chooseStarts,
  chooseWindow,
  type FitStart,
  type FitWindow,
} from "./fit-starts.js";
import { integrationWindow } from "./integration-window.js";
import { type NaturalCovariance, naturalCovariance } from "./natural-covariance.js";

const SHAPES = ["gaussian", "emg"] as const;
const BACKGROUNDS = ["none", "constant", "linear"] as const;

export interface FitPeaksOptions {
  /** @default "emg" */
  readonly shape?: (typeof SHAPES)[number];
  /** Where to start, in any order; a negative τ stands for a front. @default the peaks that `findPeaks` finds */
  readonly peaks?: readonly FitStart[];
  /** Limits of the fit, min, holding no other peak. @default ten widths about the peaks */
  readonly from?: number;
  readonly to?: number;
  /** @default "linear" */
  readonly background?: (typeof BACKGROUNDS)[number];
  /** One σ and one τ for all. @default false */
  readonly sharedShape?: boolean;
  /** @default 200 */
  readonly maxIterations?: number;
}

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
  /** 0 for a Gaussian. */
  readonly tau: number;
  /** Limits that hold practically all of it. */
  readonly start: number;
  readonly end: number;
}

export interface PeakFit extends NaturalCovariance {
  readonly kind: "peak-fit";
  /** In order of their starts in time, as the numbers in `parameters` count them. */
  readonly peaks: readonly PeakOfFit[];
  /** Level in the middle of the window, and slope per min, as far as fitted. */
  readonly background: readonly number[];
  readonly residualStandardDeviation: number;
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

/** τ of a Gaussian in σ, and how firmly it is held there. */
const NO_TAIL = 1e-7;
const HELD = 1e-9;

/**
 * Overlapping peaks of a chromatogram by least squares: Gaussians or exponentially modified Gaussians, areas ≥ 0,
 * on a straight background.
 *
 *     y(t) = b₀ + b₁ (t − t_m) + Σ Aₖ f(t; μₖ, σₖ, τₖ)
 *
 * y signal, A area (signal's unit × min), t, μ, σ, τ in min. Covariances are those of the residual variance, so
 * they hold for a model that fits and noise without memory; slow noise makes areas scatter several times more.
 * Valid for even or uneven sampling; the window must hold no peak that is not fitted.
 *
 * @throws IonbookError `not-a-chromatogram`; `bad-option`, `no-peaks`, `bad-start`, `short-stretch`
 * @source model: Grushka 1972; method: `fitEmgCluster`
 */
export function fitPeaks(chromatogram: Chromatogram, options: FitPeaksOptions = {}): PeakFit {
  requireChromatogram(chromatogram, "fitPeaks");
  const { shape = "emg", background = "linear", sharedShape = false, maxIterations = 200 } = options;
  requireOneOf("shape", shape, SHAPES);
  requireOneOf("background", background, BACKGROUNDS);
  const gaussian = shape === "gaussian";
  const found = chooseStarts(chromatogram, options);
  const window = chooseWindow(chromatogram, found, options);
  const starts = (sharedShape ? alike(found) : found).map((start) =>
    gaussian ? { ...start, tau: NO_TAIL * start.sigma } : start,
  );
  const degree = BACKGROUNDS.indexOf(background) - 1;
  const fitted = 3 * starts.length + degree + 1;
  if (window.time.length <= fitted + starts.length) {
    throw new IonbookError(
      "short-stretch",
      `${window.from}–${window.to} min of ${chromatogram.id} hold ${window.time.length} samples, too few for ${starts.length} peaks: give a wider from/to`,
    );
  }
  const { fit, peaks } = betterTailed(window, starts, {
    sharedShape,
    backgroundDegree: degree as -1 | 0 | 1,
    maxIterations,
    maximumShift: starts.some(({ guessed }) => guessed) ? GUESSED_SHIFT : 1,
    ...(gaussian ? { priors: { mu: Infinity, lnSigma: Infinity, lnTau: HELD } } : {}),
  });
  return describeFit(chromatogram, window, fit, {
    gaussian,
    sharedShape,
    sigmas: peaks.map((p) => p.sigma),
  });
}

/** How far centres may go where tails are guessed, in σ: the centre under an apex depends on its tail. */
const GUESSED_SHIFT = 2;
/** A tail below this share of σ has vanished: the peak may have a front instead. */
const VANISHED = 0.01;

/** The fit; where tails that nobody stated have vanished, fronts are tried in their place and the better fit kept. */
function betterTailed(window: FitWindow, starts: readonly CompleteStart[], options: ClusterOptions) {
  const run = (tried: readonly CompleteStart[]) => {
    const peaks = tried.map(({ apex, sigma, tau }) => ({
      mu: apex - emgApexShift(tau / sigma) * sigma,
      sigma,
      tau,
    }));
    return { fit: fitEmgCluster(window.time, window.signal, peaks, options), peaks };
  };
  const first = run(starts);
  if (options.priors) return first;
  const vanished = starts.map(
    ({ guessed }, k) => guessed && first.fit.peaks[k].tau < VANISHED * first.fit.peaks[k].sigma,
  );
  if (!vanished.includes(true)) return first;
  const fronts = run(starts.map((start, k) => (vanished[k] ? { ...start, tau: -start.tau } : start)));
  return fronts.fit.residualSumOfSquares < first.fit.residualSumOfSquares ? fronts : first;
}

/** A record followed to this share of its span is followed as far as numbers go. */
const ROUNDING = 1e-9;

/** Whether the fit may be believed, and why it ended. */
function outcome(
  fit: ClusterFit,
  signal: Float64Array,
  residual: number,
): Pick<PeakFit, "converged" | "reason"> {
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

function requireOneOf(name: string, value: string, allowed: readonly string[]): void {
  if (allowed.includes(value)) return;
  throw new IonbookError(
    "bad-option",
    `${name} "${value}" is not known: give ${allowed.map((a) => `"${a}"`).join(", ")}`,
  );
}

function alike<T extends { readonly sigma: number; readonly tau: number }>(
  starts: readonly T[],
): readonly T[] {
  const middle = (values: readonly number[]) => [...values].sort((a, b) => a - b)[values.length >> 1];
  const sigma = middle(starts.map((s) => s.sigma));
  const tau = middle(starts.map((s) => s.tau));
  return starts.map((s) => ({ ...s, sigma, tau }));
}

interface HowFitted {
  readonly gaussian: boolean;
  readonly sharedShape: boolean;
  readonly sigmas: readonly number[];
}

function describeFit(of: Chromatogram, window: FitWindow, fit: ClusterFit, how: HowFitted): PeakFit {
  const { from, to, time } = window;
  const tails = how.gaussian ? (how.sharedShape ? 1 : fit.peaks.length) : 0;
  const dof = time.length - fit.parameterCount + tails;
  const variance = fit.residualSumOfSquares / dof;
  const half = 0.5 * (to - from);
  const natural = naturalCovariance(fit, variance, { ...how, half });
  const areas = measuredAreas(of, window, fit, natural, dof);
  const peaks = fit.peaks.map((peak, k) => onePeak(of, peak, areas[k], how.gaussian));
  const residualStandardDeviation = Math.sqrt(variance);
  const end = outcome(fit, window.signal, residualStandardDeviation);
  return {
    kind: "peak-fit",
    peaks,
    background: fit.background.map((value, power) => (power === 0 ? value : value / half)),
    ...natural,
    residualStandardDeviation,
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
  } as PeakFit;
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

function onePeak(
  of: Chromatogram,
  peak: ClusterFit["peaks"][number],
  area: MeasuredValue,
  gaussian: boolean,
): PeakOfFit {
  const { mu, sigma, tau } = peak;
  const retentionTime = mu + emgApexShift(tau / sigma) * sigma;
  const [start, end] = limits(of.time, retentionTime, sigma, tau);
  return {
    retentionTime,
    area,
    height: peak.area * emg(retentionTime, mu, sigma, tau),
    mu: gaussian ? retentionTime : mu,
    sigma,
    tau: gaussian ? 0 : tau,
    start,
    end,
  };
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

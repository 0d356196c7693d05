import { IonbookError } from "../../errors.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { requireChromatogram } from "../../signal/require-chromatogram.js";
import { emgApexShift } from "../shape/emg.js";
import { FITTED_SHAPES, type FittedShapeName, kernelOf, type PeakShapeName } from "../shape/shape-kernels.js";
import { emgLike } from "./bi-gaussian.js";
import type { ClusterFit, ClusterOptions, PeakStart } from "./emg-cluster-types.js";
import { fitCluster } from "./fit-cluster.js";
import {
  type CompleteStart,
  chooseStarts,
  chooseWindow,
  type FitStart,
  type FitWindow,
} from "./fit-starts.js";
import { describeFittedPeaks, type FittedPeaks } from "./fitted-peaks.js";

export type { FittedPeaks, PeakOfFit } from "./fitted-peaks.js";

const BACKGROUNDS = ["none", "constant", "linear"] as const;

export interface FitPeaksOptions {
  /** "bi-gaussian" is refused: it can only start a fit. @default "emg" */
  readonly shape?: PeakShapeName;
  /** Where to start, in any order; a negative τ stands for a front. @default the peaks that `findPeaks` finds */
  readonly peaks?: readonly FitStart[];
  /** Limits of the fit, min, holding no other peak. @default ten widths about the peaks */
  readonly from?: number;
  readonly to?: number;
  /** @default "linear" */
  readonly background?: (typeof BACKGROUNDS)[number];
  /** One σ and one τ for all. @default false */
  readonly sharedShape?: boolean;
  /**
   * The starts' σ and τ are those of standards: they are held near them by penalties (ln σ to 0.08, ln τ to 0.3, μ to
   * 0.5 σ; standard deviations). @default false
   */
  readonly planned?: boolean;
  /** White noise of a blank, in the signal's unit, for the reduced χ² among the diagnostics. */
  readonly blankStandardDeviation?: number;
  /** @default 200 */
  readonly maxIterations?: number;
}

/** Standard deviations of the penalties that hold planned shapes. */
const PLANNED = { mu: 0.5, lnSigma: 0.08, lnTau: 0.3 } as const;

/**
 * Overlapping peaks of a chromatogram by least squares, areas ≥ 0, on a straight background.
 *
 *     y(t) = b₀ + b₁ (t − t_m) + Σ Aₖ f(t; μₖ, σₖ, …)
 *
 * y signal, A area (signal's unit × min), t, μ, σ, τ in min; f a Gaussian, an exponentially modified Gaussian, an
 * overloaded peak smeared by an exponential ("hvl"), or a skew-normal. Centres stay within one σ of their starts (two
 * where tails are guessed). Covariances are those of the residual variance, so they hold for a model that fits and
 * noise without memory; slow noise makes areas scatter several times more: read `diagnostics`.
 * Valid for even or uneven sampling; the window must hold no peak that is not fitted.
 *
 * @throws IonbookError `not-a-chromatogram`; `bad-option`, `start-only-shape`, `no-peaks`, `bad-start`, `short-stretch`
 * @source model: Grushka 1972; method: `fitCluster`
 */
export function fitPeaks(chromatogram: Chromatogram, options: FitPeaksOptions = {}): FittedPeaks {
  requireChromatogram(chromatogram, "fitPeaks");
  const { background = "linear", sharedShape = false, maxIterations = 200, planned = false } = options;
  const shape = requireFittedShape(options.shape ?? "emg");
  requireOneOf("background", background, BACKGROUNDS);
  const found = chooseStarts(chromatogram, options);
  const window = chooseWindow(chromatogram, found, options);
  const starts = sharedShape ? alike(found) : found;
  const degree = BACKGROUNDS.indexOf(background) - 1;
  requireEnough(
    chromatogram,
    window,
    starts.length,
    (3 + kernelOf(shape).further.length) * starts.length + degree + 1,
  );
  const { fit, peaks } = bestFit(window, starts, shape, {
    sharedShape,
    backgroundDegree: degree as -1 | 0 | 1,
    maxIterations,
    maximumShift: starts.some(({ guessed }) => guessed) ? GUESSED_SHIFT : 1,
    ...(planned ? { priors: PLANNED, noise: whiteNoiseOf(window.signal) } : {}),
  });
  const { blankStandardDeviation } = options;
  const sigmas = peaks.map((p) => p.sigma);
  return describeFittedPeaks(chromatogram, window, fit, {
    shape,
    sharedShape,
    sigmas,
    blankStandardDeviation,
  });
}

/** From second differences, which a peak hardly touches. */
function whiteNoiseOf(signal: Float64Array): number {
  let sum = 0;
  for (let i = 2; i < signal.length; i++) sum += (signal[i] - 2 * signal[i - 1] + signal[i - 2]) ** 2;
  return Math.sqrt(sum / (6 * Math.max(signal.length - 2, 1)));
}

/** How far centres may go where tails are guessed, in σ: the centre under an apex depends on its tail. */
const GUESSED_SHIFT = 2;
/** A tail below this share of σ has vanished: the peak may have a front instead. */
const VANISHED = 0.01;
/** Overload and skew that nobody stated start here; a skew of 0 has no slope. */
const GUESSED_OVERLOAD = 0.5;
const GUESSED_SKEW = 1.5;

interface Tried {
  readonly fit: ClusterFit;
  readonly peaks: readonly PeakStart[];
}

/** The fit; where the side of the tails is not stated, the other side is tried too and the better fit kept. */
function bestFit(
  window: FitWindow,
  starts: readonly CompleteStart[],
  shape: FittedShapeName,
  options: ClusterOptions,
): Tried {
  const run = (sides: readonly number[]): Tried => {
    const peaks = starts.map((start, k) => startOf(start, shape, sides[k]));
    return { fit: fitCluster(window.time, window.signal, peaks, kernelOf(shape), options), peaks };
  };
  const first = run(starts.map(() => 1));
  const turned = starts.map(
    ({ guessed }, k) => guessed && wantsTheOtherSide(first.fit.peaks[k], first.peaks[k], shape),
  );
  if (!turned.includes(true)) return first;
  const other = run(turned.map((turn) => (turn ? -1 : 1)));
  return other.fit.residualSumOfSquares < first.fit.residualSumOfSquares ? other : first;
}

function wantsTheOtherSide(
  { sigma, tau, alpha = 0 }: ClusterFit["peaks"][number],
  begun: PeakStart,
  shape: FittedShapeName,
): boolean {
  if (shape === "emg") return Math.abs(tau) < VANISHED * sigma;
  return shape === "skew-normal" && Math.sign(begun.alpha ?? 1) * alpha < 0.5;
}

/** Where the centre stands when the apex is here, for a tail on the given side. */
function startOf(
  { apex, sigma, tau, q, alpha, halves }: CompleteStart,
  shape: FittedShapeName,
  side: number,
): PeakStart {
  if (shape === "gaussian") return { mu: apex, sigma, tau: 0 };
  if (shape === "skew-normal") {
    const seen = halves !== undefined && halves.right < halves.left ? -1 : 1;
    const skew = alpha ?? side * seen * GUESSED_SKEW;
    return { mu: apex - 0.4 * Math.sign(skew) * sigma, sigma: 1.2 * sigma, tau: 0, alpha: skew };
  }
  if (shape === "emg") {
    const own = halves === undefined ? { sigma, tau } : emgLike(halves);
    const tail = side * own.tau;
    return { mu: apex - emgApexShift(tail / own.sigma) * own.sigma, sigma: own.sigma, tau: tail };
  }
  const mu = apex - emgApexShift(tau / sigma) * sigma;
  const overload = q ?? GUESSED_OVERLOAD;
  return { mu: mu + 0.4 * overload * sigma, sigma, tau, q: overload };
}

function requireFittedShape(shape: PeakShapeName): FittedShapeName {
  if (shape === "bi-gaussian") {
    throw new IonbookError(
      "start-only-shape",
      `a bi-Gaussian has a kink at its apex and can only start a fit, not be its result: give shape "emg" or "skew-normal"`,
    );
  }
  requireOneOf("shape", shape, FITTED_SHAPES);
  return shape;
}

function requireEnough(of: Chromatogram, { from, to, time }: FitWindow, peaks: number, fitted: number): void {
  if (time.length > fitted + peaks) return;
  throw new IonbookError(
    "short-stretch",
    `${from}–${to} min of ${of.id} hold ${time.length} samples, too few for ${peaks} peaks: give a wider from/to`,
  );
}

function requireOneOf(name: string, value: string, allowed: readonly string[]): void {
  if (allowed.includes(value)) return;
  throw new IonbookError(
    "bad-option",
    `${name} "${value}" is not known: give ${allowed.map((a) => `"${a}"`).join(", ")}`,
  );
}

function alike(starts: readonly CompleteStart[]): readonly CompleteStart[] {
  const middle = (values: readonly number[]) => [...values].sort((a, b) => a - b)[values.length >> 1];
  const sigma = middle(starts.map((s) => s.sigma));
  const tau = middle(starts.map((s) => s.tau));
  const seen = starts.flatMap(({ halves }) => (halves === undefined ? [] : [halves]));
  const halves =
    seen.length === starts.length
      ? { left: middle(seen.map((h) => h.left)), right: middle(seen.map((h) => h.right)) }
      : undefined;
  return starts.map((s) => ({ ...s, sigma, tau, halves }));
}

import type { BlankNoise } from "../../signal/blank-noise.js";
import { areaResponse, type MaskedBaseline } from "../../signal/masked-baseline.js";
import { widthAtHalf } from "../../signal/peak-width.js";
import type { ProfileInSamples } from "../riders/rider-profile.js";
import { integrationWindow, relativeHalfWidth, type ShapeInSamples } from "../shape/integration-window.js";

/** A peak to be measured: found by the detector, or absent and measured at its expected place. */
export interface PlacedPeak extends ShapeInSamples {
  /** Apex, index (may be fractional for an absent one). */
  readonly apex: number;
  readonly present: boolean;
  /** Area summed over the window per area of the fitted shape, learnt from isolated peaks of the standards. */
  readonly sumPerFit: number;
  /** First and last index of what belongs to it. @default fixed multiples of its width about the apex */
  readonly window?: readonly [number, number];
  /** Height above what it stands on, where the record shows no maximum of it. @default read at the apex */
  readonly ownHeight?: number;
}

/** One cause of an area's uncertainty besides the noise, signal × samples. */
export interface AreaSource {
  readonly name:
    | "beyond the limits"
    | "integration rule"
    | "shape"
    | "background model"
    | "baseline choice"
    | "shoulder";
  readonly u: number;
}

/** Why a peak is not quantified, and what would help. */
export interface Refusal {
  readonly reason: string;
  readonly advice: string;
  /** Relative. */
  readonly estimatedError: number;
}

export interface MeasuredPeak {
  /** Signal × samples. */
  readonly area: number;
  /** Standard uncertainties of the area by cause, signal × samples. */
  readonly uNoise: number;
  readonly uIntegration: number;
  readonly height: number;
  readonly first: number;
  readonly last: number;
  readonly rule: "summation" | "joint fit" | "rider fit" | "fixed window";
  /** What is drawn as this peak, from `first` on. */
  readonly component: Float64Array;
  readonly flags: readonly string[];
  /** What uIntegration is made of: its square is the sum of theirs. */
  readonly sources: readonly AreaSource[];
  /** Weight of each sample from `first` on in an area that stands on the record's own baseline. */
  readonly shares?: Float64Array;
  /** Background that was fitted under a rider. */
  readonly background?: {
    readonly model: "decays" | "measured profile" | "cubic";
    readonly first: number;
    readonly values: Float64Array;
  };
  readonly refusal?: Refusal;
  /** One sentence with the figures that decided on the rule. */
  readonly because?: string;
}

/** Root of the sum of squares of the sources. */
export function together(sources: readonly AreaSource[]): number {
  return Math.hypot(...sources.map(({ u }) => u));
}

export interface IntegrateOptions {
  /** Baseline that was taken off `y`: its own uncertainty belongs to every area, and beside a giant it is given back. */
  readonly baseline: MaskedBaseline;
  readonly noise: BlankNoise;
  /** White standard deviation of the signal. */
  readonly white: number;
  /** Standard deviation of the smoothed signal, by which levels at limits are judged. @default `white` */
  readonly levelNoise?: number;
  /** How far a joint fit may stretch σ and τ: standard deviations of ln σ and ln τ. @default 0.08 and 0.3 */
  readonly freedom?: { readonly lnSigma: number; readonly lnTau: number };
  /** The giant at an index as it looks when injected alone, where that was measured. */
  readonly profileOf?: (apex: number) => ProfileInSamples | undefined;
  /** Relative error above which a rider is not quantified. @default 0.3 */
  readonly refuseAbove?: number;
  /** Half-width in samples within which blank slices are preferred. */
  readonly reach: number;
}

/** What the choice of limits leaves open on a clean peak, relative to its area (common practice, no source). */
export const LIMITS_CHOICE = 0.001;

/** A placed peak with what the record shows at its place. */
export interface Prepared extends PlacedPeak {
  readonly height: number;
  readonly widening: number;
  readonly window: readonly [number, number];
}

/** Looks at the record where a peak is placed: its height, how much wider it is than expected, its window. */
export function prepare(y: Float64Array, smooth: Float64Array, peak: PlacedPeak, white: number): Prepared {
  const at = Math.min(Math.max(Math.round(peak.apex), 0), y.length - 1);
  const height = peak.ownHeight ?? smooth[at];
  let widening = 1;
  if (peak.present && peak.ownHeight === undefined && height > 30 * white) {
    const measured = widthAtHalf(smooth, at);
    if (measured !== undefined)
      widening = Math.min(Math.max(measured / (relativeHalfWidth(peak) * peak.sigma), 1), 3);
  }
  return {
    ...peak,
    height,
    widening,
    window: peak.window ?? integrationWindow(peak.apex, peak, widening, y.length),
  };
}

/** Scatter of an area on blank records, the uncertainty of the baseline under it included. */
export function noiseOf(
  shares: Float64Array,
  first: number,
  own: Prepared,
  options: IntegrateOptions,
): number {
  const response = areaResponse(options.baseline, first, shares);
  const window = [first - response.first, first - response.first + shares.length - 1] as const;
  return options.noise.scatterOf(response.weights, window, Math.round(own.apex), options.reach);
}

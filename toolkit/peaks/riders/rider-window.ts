import type { ShapeInSamples } from "../shape/integration-window.js";

/** A small peak as the standards and the detector know it. */
export interface Rider extends ShapeInSamples {
  /** Centre of its EMG, index in the window. */
  readonly mu: number;
  /** Found by the detector; an absent one is looked for at its place only. */
  readonly present: boolean;
  /** Strong enough to show its own width: weak acids and bases flatten and broaden as they grow. */
  readonly adjustable: boolean;
}

/** A stretch of a corrected record beside a giant, with the small peaks in it. */
export interface RiderWindow {
  readonly y: Float64Array;
  /** The same without its noise: how large the signal is, for the weights. */
  readonly smooth: Float64Array;
  readonly riders: readonly Rider[];
  /** Apex of the giant relative to the window (outside it as a rule), its σ in samples and its height. */
  readonly giant: { readonly apex: number; readonly sigma: number; readonly height: number };
  /** White standard deviation of the signal. */
  readonly white: number;
}

/** Riders over one background model. */
export interface RiderFit {
  /** First sample of the window that was fitted. */
  readonly first: number;
  /** Areas of the riders in signal × samples. */
  readonly areas: readonly number[];
  /** Centres, index in the window, and widths over the expected ones. */
  readonly centres: readonly number[];
  readonly widths: readonly number[];
  /** Over the fitted stretch. */
  readonly background: Float64Array;
  readonly components: readonly Float64Array[];
  /** What the background would be off by where a parameter differs from its start by as much as usual, one for each. */
  readonly doubts: readonly Float64Array[];
  /** Weights of the fitted samples in a rider's area: δA = Σ hᵢ δyᵢ. */
  row(which: number): Float64Array;
}

/**
 * Square roots of the weights of a stretch: no model follows a giant closer than a small share of its signal, so that
 * share counts as noise and the steep part does not decide what lies under the rider.
 */
export function rootWeights(
  smooth: Float64Array,
  first: number,
  last: number,
  white: number,
  misfit: number,
): Float64Array {
  const out = new Float64Array(last - first + 1);
  for (let i = 0; i < out.length; i++) out[i] = 1 / Math.hypot(1, (misfit * smooth[first + i]) / white);
  return out;
}

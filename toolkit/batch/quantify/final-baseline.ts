import { emg } from "../../peaks/shape/emg.js";
import { centreFromApex } from "../../peaks/shape/integration-window.js";
import { stiffnessFor } from "../../signal/arpls.js";
import { type MaskedBaseline, maskedBaseline } from "../../signal/masked-baseline.js";
import type { PreparedTrace } from "./prepared-trace.js";

/** Where a peak stands, min. */
export interface Occupied {
  readonly time: number;
  readonly sigma: number;
  readonly tau: number;
  /** Above the first baseline, signal's unit. */
  readonly height: number;
}

/** A trace with the baseline its areas are measured over. */
export interface FinalTrace extends PreparedTrace {
  readonly masked: MaskedBaseline;
}

/** Half-width of the stretch kept from the baseline at least, in σ and, behind the apex, τ. */
const MASK_SIGMA = 3.2;
const MASK_TAU = 3.5;
/** A peak is kept out as far as its curve stands above this share of the noise. */
const SEEN = 0.05;
/** And no further than so many σ. */
const FARTHEST = 25;
/** A sample that the re-weighted baseline trusted less than this belongs to a peak. */
const TRUSTED = 0.05;
/** Samples at the start of the record that stay free, so that the first peak's baseline hangs on something. */
const FREE_START = 8;

/**
 * Draws the baseline again, now that the peaks are known: through the samples where no peak was found, smoothly
 * interpolated beneath the others, so that it no longer creeps up the flanks of small peaks.
 */
export function finalTrace(trace: PreparedTrace, occupied: readonly Occupied[], widest: number): FinalTrace {
  const { own, weights, interval, start } = trace;
  const free = Uint8Array.from(weights, (w) => (w > TRUSTED ? 1 : 0));
  for (const peak of occupied) {
    const [before, behind] = extentOf(peak, SEEN * trace.noise, interval);
    const from = Math.round((peak.time - before - start) / interval);
    const to = Math.round((peak.time + behind - start) / interval);
    free.fill(0, Math.max(from, FREE_START), Math.max(Math.min(to + 1, free.length), FREE_START));
  }
  const masked = maskedBaseline(own, free, stiffnessFor(widest, interval));
  const programme = trace.baseline.map((value, i) => value - (own[i] - trace.corrected[i]));
  return {
    ...trace,
    masked,
    corrected: own.map((value, i) => value - masked.values[i]),
    baseline: programme.map((value, i) => value + masked.values[i]),
  };
}

/** How far before and behind its apex a peak is kept out: to where its curve has fallen to `seen`, min. */
function extentOf(
  { sigma, tau, height }: Occupied,
  seen: number,
  step: number,
): readonly [before: number, behind: number] {
  const mu = centreFromApex(0, { sigma, tau });
  const scale = height / emg(0, mu, sigma, tau);
  const reach = (least: number, side: 1 | -1) => {
    let t = least;
    while (t < FARTHEST * sigma && scale * emg(side * t, mu, sigma, tau) > seen) t += step;
    return t;
  };
  return [reach(MASK_SIGMA * sigma, -1), reach(MASK_SIGMA * sigma + MASK_TAU * tau, 1)];
}

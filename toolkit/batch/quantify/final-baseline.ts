import { stiffnessFor } from "../../signal/arpls.js";
import { type MaskedBaseline, maskedBaseline } from "../../signal/masked-baseline.js";
import type { PreparedTrace } from "./prepared-trace.js";

/** Where a peak stands, min. */
export interface Occupied {
  readonly time: number;
  readonly sigma: number;
  readonly tau: number;
}

/** A trace with the baseline its areas are measured over. */
export interface FinalTrace extends PreparedTrace {
  readonly masked: MaskedBaseline;
}

/** Half-width of the stretch kept from the baseline, in σ and, behind the apex, τ. */
const MASK_SIGMA = 3.2;
const MASK_TAU = 3.5;
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
  for (const { time, sigma, tau } of occupied) {
    const from = Math.round((time - MASK_SIGMA * sigma - start) / interval);
    const to = Math.round((time + MASK_SIGMA * sigma + MASK_TAU * tau - start) / interval);
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

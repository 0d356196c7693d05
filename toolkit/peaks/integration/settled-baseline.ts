import type { Baseline } from "../../signal/baseline.js";
import { maskedBaseline } from "../../signal/masked-baseline.js";
import { emg } from "../shape/emg.js";
import { centreFromApex, integrationWindow } from "../shape/integration-window.js";
import type { PlacedPeak } from "./placed-peak.js";
import type { RecordRegion } from "./record-region.js";

/** A sample that the re-weighted baseline trusted less than this belongs to something. */
const TRUSTED = 0.05;
/** A found peak is kept out of the baseline as far as its curve stands above this share of the noise. */
const SEEN = 0.05;
/** And at least so many σ to both sides. */
const CORE = 2;
/** Samples at either end that stay in, so that the baseline hangs on something. */
const FREE_ENDS = 8;

/**
 * The re-weighted baseline solved once more, now that the peaks are known: samples on which they stand count for nothing,
 * all others that it trusted fully. A re-weighted baseline takes the feet of a peak (and most of a small one) for
 * noise and creeps up on them; areas of traces come out some percent too small for it.
 *
 * @param spread standard deviation of the noise
 */
export function settledBaseline(
  baseline: Baseline,
  region: RecordRegion,
  peaks: readonly PlacedPeak[],
  spread: number,
): Baseline {
  if (baseline.weights.length === 0 || peaks.length === 0) return baseline;
  const { offset, signal, y } = region;
  const n = signal.length;
  const free = Uint8Array.from({ length: n }, (_, i) => (baseline.weights[offset + i] > TRUSTED ? 1 : 0));
  for (const peak of peaks) keepOut(free, peak, y, spread);
  free.fill(1, 0, Math.min(FREE_ENDS, n));
  free.fill(1, Math.max(0, n - FREE_ENDS), n);
  const settled = maskedBaseline(signal, free, region.baseline.lambda);
  const values = baseline.values.slice();
  values.set(settled.values, offset);
  const weights = baseline.weights.slice();
  weights.set(settled.weights, offset);
  return { ...baseline, values, weights };
}

function keepOut(free: Uint8Array, peak: PlacedPeak, y: Float64Array, spread: number): void {
  const { apex, sigma } = peak;
  const [first, last] = peak.window ?? integrationWindow(apex, peak, 1, free.length);
  const mu = centreFromApex(apex, peak);
  const scale = Math.max(y[apex], 0) / emg(apex, mu, sigma, peak.tau);
  for (let i = first; i <= last; i++) {
    const inCore = Math.abs(i - apex) <= CORE * sigma;
    if (inCore || scale * emg(i, mu, sigma, peak.tau) > SEEN * spread) free[i] = 0;
  }
}

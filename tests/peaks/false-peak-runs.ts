import { detectPeaks } from "../../toolkit/peaks/detection/detect.js";
import { findDips } from "../../toolkit/peaks/detection/find-dips.js";
import { findPeaks } from "../../toolkit/peaks/detection/find-peaks.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { inventedNoise, type NoiseKind } from "../signal/invented-noise.js";

/** False answers per run of pure noise, 30 min at 5 Hz. */
export interface FalseRates {
  /** The filter alone, for peaks of 5 s. */
  readonly detector: number;
  /** The whole chain: baseline, width measured on the record itself, least signal-to-noise 3. */
  readonly peaks: number;
  readonly dips: number;
}

const STEP = 0.2;
const RUN = 30 * 60;
const SIGMA = 5 / STEP;

/** Averages over `runs` seeded runs of noise of 1 nS/cm white standard deviation. */
export function falseRates(kind: NoiseKind, runs: number, seed: number, chain = true): FalseRates {
  let [detector, peaks, dips] = [0, 0, 0];
  const n = RUN / STEP;
  const time = Float64Array.from({ length: n }, (_, i) => (i * STEP) / 60);
  for (let run = 0; run < runs; run++) {
    const signal = inventedNoise(n, STEP, kind, `${seed} ${run}`).map((y) => 0.001 * y);
    detector += detectPeaks(signal, { widthAt: () => SIGMA }).length;
    if (!chain) continue;
    const record = makeChromatogram({ id: `run ${run}`, time, signal });
    peaks += findPeaks(record, { from: 0 }).length;
    dips += findDips(record, { from: 0 }).length;
  }
  return { detector: detector / runs, peaks: peaks / runs, dips: dips / runs };
}

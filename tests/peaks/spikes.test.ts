import { expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { findPeaks } from "../../toolkit/peaks/detection/find-peaks.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";

// Invented records: 20 min at 5 Hz, white noise of 0.5 nS/cm, peaks of σ 6 s; a valve's spike fills one reading.
const WHITE = 0.0005;

function record(seed: number, height: number, spike: number) {
  const random = createRandom(seed);
  const time = Float64Array.from({ length: 6000 }, (_, i) => i / 300);
  const signal = time.map((t) => height * Math.exp(-0.5 * ((t - 12) / 0.1) ** 2) + WHITE * random.normal());
  signal[3600] += spike;
  return makeChromatogram({ id: "one spike", time, signal });
}

const found = (seed: number, height: number, spike: number) =>
  findPeaks(record(seed, height, spike), { from: 0, peakWidth: 0.1 }).filter(
    ({ retentionTime }) => Math.abs(retentionTime - 12) < 0.2,
  );

it.each([1, 2, 3])("a spike of one reading is no peak, whatever its height (seed %i)", (seed) => {
  for (const spike of [0.02, 0.2, 2]) expect(found(seed, 0, spike)).toEqual([]);
});

it.each([1, 2, 3])("a peak is found with a spike on it, and without (seed %i)", (seed) => {
  for (const spike of [0, 0.01, 0.02]) expect(found(seed, 0.008, spike).length).toBe(1);
});

// The full size of tests/peaks/hostile-records.test.ts, and records of ten million readings.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { findDips } from "../../toolkit/peaks/detection/find-dips.js";
import { findPeaks } from "../../toolkit/peaks/detection/find-peaks.js";
import { integrateChromatogram } from "../../toolkit/peaks/integration/integrate-chromatogram.js";
import { noiseAutocovariance } from "../../toolkit/signal/autocovariance.js";
import { estimateBaseline } from "../../toolkit/signal/baseline.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { estimateNoise } from "../../toolkit/signal/noise.js";
import { CALLS, HOSTILE, tryHostile } from "../peaks/hostile-runs.js";

const RUNS = 5;

describe.each(Object.keys(HOSTILE))("%s", (kind) => {
  describe.each(Object.keys(CALLS))("%s", (call) => {
    it.each([1, 2, 3])("seed %i: finite figures or advice", (seed) => tryHostile(kind, call, seed, RUNS));
  });
});

describe("ten million readings, a week at 16.5 Hz, a peak every 20 min", () => {
  const n = 10_000_000;
  const interval = 0.001;
  const every = 20;
  const random = createRandom(1);
  const time = new Float64Array(n);
  const signal = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const t = i * interval;
    time[i] = t;
    const off = (t % every) - every / 2;
    signal[i] = 1 + 2 * Math.exp(-50 * off * off) + 0.001 * random.normal();
  }
  const record = makeChromatogram({ id: "week", time, signal });
  const expected = (n * interval) / every;

  it("findPeaks finds every peak and no dip stands for one", () => {
    const found = findPeaks(record, { from: 0 });
    expect(found.filter(({ height }) => height > 1)).toHaveLength(expected);
    expect(findDips(record, { from: 0 }).every(({ depth }) => depth < 0.02)).toBe(true);
  });

  it("baseline, noise and autocovariance are finite", () => {
    const { values } = estimateBaseline(record, { from: 0 });
    expect(values.every(Number.isFinite)).toBe(true);
    expect(Math.abs(estimateNoise(record, { from: 0, to: 8 }).white / 0.001 - 1)).toBeLessThan(0.05);
    expect(noiseAutocovariance(record, { from: 0 }).values.every(Number.isFinite)).toBe(true);
  });

  it("areas of the peaks are theirs within 1 %", () => {
    const { peaks } = integrateChromatogram(record, { from: 0, to: 2000 });
    const truth = 2 * 0.1 * Math.sqrt(2 * Math.PI);
    const tall = peaks.filter(({ height }) => height > 1);
    expect(tall).toHaveLength(100);
    for (const { area } of tall) expect(Math.abs(area.value / truth - 1)).toBeLessThan(0.01);
  });
});

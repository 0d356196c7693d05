// Invented records with known dips and corners; noise as the handbook's detection study.
import { describe, expect, it } from "vitest";
import { baselineBesideDips } from "../../toolkit/peaks/detection/baseline-beside-dips.js";
import { findDips } from "../../toolkit/peaks/detection/find-dips.js";
import { findPeaks } from "../../toolkit/peaks/detection/find-peaks.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { inventedNoise, NOISE_KINDS } from "../signal/invented-noise.js";

const N = 6000;
const STEP = 0.2;
const time = Float64Array.from({ length: N }, (_, i) => (i * STEP) / 60);
const gaussian = (t: number, at: number, sigma: number) => Math.exp(-0.5 * ((t - at) / sigma) ** 2);

function record(course: (t: number) => number, seed: number) {
  const noise = inventedNoise(N, STEP, NOISE_KINDS[1], seed);
  return makeChromatogram({
    id: `seed ${seed}`,
    time,
    signal: time.map((t, i) => course(t) + 0.001 * noise[i]),
  });
}
const near = (t: number) => (found: { readonly retentionTime: number }) =>
  Math.abs(found.retentionTime - t) < 0.05;

describe.each([1, 2, 3])("a dip of 2 µS/cm between peaks, seed %i", (seed) => {
  const peaks = (t: number) =>
    0.05 * gaussian(t, 5, 0.1) + 3 * gaussian(t, 12, 0.12) + 0.04 * gaussian(t, 9.6, 0.1);
  const whole = record((t) => 1 + 0.01 * t + peaks(t), seed);
  const dipped = record((t) => 1 + 0.01 * t + peaks(t) - 2 * gaussian(t, 9, 0.12), seed);
  const dips = findDips(dipped, { from: 0 });

  it("is listed with place, depth and limits, and nothing beside it", () => {
    expect(dips).toHaveLength(1);
    const [dip] = dips;
    expect(Math.abs(dip.retentionTime - 9)).toBeLessThan(0.01);
    expect(Math.abs(dip.depth / 2 - 1)).toBeLessThan(0.02);
    expect(dip.start).toBeGreaterThan(8.3);
    expect(dip.start).toBeLessThan(8.8);
    expect(dip.end).toBeGreaterThan(9.2);
    expect(dip.end).toBeLessThan(9.7);
    expect(dip.signalToNoise).toBeGreaterThan(500);
  });

  it("peaks are those of the same record without it, one five σ behind the dip among them", () => {
    const found = findPeaks(dipped, { from: 0 });
    expect(findPeaks(whole, { from: 0 }).map((p) => p.retentionTime.toFixed(1))).toEqual([
      "5.0",
      "9.6",
      "12.0",
    ]);
    expect(found.map((p) => p.retentionTime.toFixed(1))).toEqual(["5.0", "9.6", "12.0"]);
    expect(findDips(whole, { from: 0 })).toEqual([]);
  });

  it("the baseline runs straight on above it", () => {
    const { values } = baselineBesideDips(dipped, { from: 0 });
    for (let i = 2500; i < 2900; i++) expect(Math.abs(values[i] - 1 - 0.01 * time[i])).toBeLessThan(0.01);
  });
});

it("a dip below a given baseline is seen, and peaks above it are no dips", () => {
  const dipped = record((t) => gaussian(t, 5, 0.1) - 0.5 * gaussian(t, 9, 0.1), 1);
  const baseline = baselineBesideDips(dipped, { from: 0 });
  expect(findDips(dipped, { baseline }).map((d) => d.retentionTime.toFixed(1))).toEqual(["9.0"]);
  expect(findDips(dipped, { baseline, minimumSignalToNoise: 1e4 })).toEqual([]);
});

describe.each([1, 2, 3])("the end of a ramp at 12 min, seed %i", (seed) => {
  // 0.5 µS/cm per min up to the corner, rounded by a mixing time of 6 s.
  const ramp = (t: number) => {
    const [tau, slope] = [6 / 60, 0.5];
    return t < 12 ? slope * t : slope * (12 + tau * (1 - Math.exp(-(t - 12) / tau)));
  };
  const blank = record(ramp, seed);
  const sample = record((t) => ramp(t) + 0.3 * gaussian(t, 12.1, 0.1) + 0.05 * gaussian(t, 7, 0.1), seed);

  it("answers like a peak where nobody knows of it, and not where it is known", () => {
    expect(findPeaks(blank, { from: 0, peakWidth: 0.1 }).filter(near(12.05)).length).toBe(1);
    expect(findPeaks(blank, { from: 0, peakWidth: 0.1, corners: [12] })).toEqual([]);
  });

  it("a peak larger than what the corner can answer is kept and says where it stands; others are as before", () => {
    const found = findPeaks(sample, { from: 0, peakWidth: 0.1, corners: [12] });
    expect(found.map((p) => [p.retentionTime.toFixed(1), p.nearCorner])).toEqual([
      ["7.0", undefined],
      ["12.1", true],
    ]);
  });
});

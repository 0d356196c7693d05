// Invented records: Gaussian peaks on known baselines.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { estimateBaseline } from "../../toolkit/signal/baseline.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { medianPeakWidth, widestPeak, widthAtHalf } from "../../toolkit/signal/peak-width.js";
import { gaussianSmooth } from "../../toolkit/signal/smooth.js";
import { voidRegion } from "../../toolkit/signal/void-region.js";

const time = Float64Array.from({ length: 3000 }, (_, i) => i / 300);
const gauss = (t: number, at: number, sigma: number) => Math.exp(-0.5 * ((t - at) / sigma) ** 2);
const line = (t: number) => 0.8 + 0.05 * t;

function record(seed: number, noise = 0.001) {
  const random = createRandom(seed);
  const signal = time.map(
    (t) => line(t) + 2 * gauss(t, 4, 0.06) + 5 * gauss(t, 7, 0.1) + noise * random.normal(),
  );
  return makeChromatogram({ id: `seed ${seed}`, time, signal });
}

describe.each([1, 2, 3])("estimateBaseline, seed %i", (seed) => {
  it("arPLS finds a straight line under two peaks within 2 noise s.d. beside them, 5 under them", () => {
    const { values, method, converged, peakWidth } = estimateBaseline(record(seed), { from: 0 });
    const under = (t: number) => Math.abs(t - 4) < 0.3 || Math.abs(t - 7) < 0.5;
    for (let i = 0; i < time.length; i++) {
      expect(Math.abs(values[i] - line(time[i]))).toBeLessThan(under(time[i]) ? 0.005 : 0.002);
    }
    expect([method, converged]).toEqual(["arPLS", true]);
    expect(Math.abs((peakWidth ?? 0) / 0.1 - 1)).toBeLessThan(0.1);
  });

  it("anchored joins peak-free stretches by straight lines", () => {
    const anchors = [
      [1, 2],
      [5, 6],
      [8.5, 9.5],
    ] as const;
    const { values } = estimateBaseline(record(seed), { method: "anchored", from: 0, anchors });
    for (let i = 500; i < 2700; i++) expect(Math.abs(values[i] - line(time[i]))).toBeLessThan(3e-4);
  });
});

describe("the region", () => {
  it("holds values inside, none outside, and is named", () => {
    const { values, from, to } = estimateBaseline(record(1), { from: 2, to: 9 });
    expect(values.length).toBe(time.length);
    expect([from, to]).toEqual([2, 9]);
    expect([values[599], values[2701]].every(Number.isNaN)).toBe(true);
    expect([values[600], values[2700]].every(Number.isFinite)).toBe(true);
  });

  it("λ overrides the rule, and is reported", () => {
    expect(estimateBaseline(record(1), { from: 0, lambda: 1e5 }).lambda).toBe(1e5);
    expect(estimateBaseline(record(1), { from: 0, peakWidth: 0.1 }).lambda).toBeCloseTo(60 ** 4, 0);
  });
});

describe("misuse is refused", () => {
  const uneven = makeChromatogram({
    id: "gap",
    time: time.map((t, i) => (i > 1000 ? t + 0.1 : t)),
    signal: time,
  });
  it.each([
    ["uneven-sampling", () => estimateBaseline(uneven, { from: 0 })],
    ["short-stretch", () => estimateBaseline(record(1), { from: 2, to: 2.02 })],
    ["no-anchors", () => estimateBaseline(record(1), { method: "anchored", from: 0 })],
    ["no-anchors", () => estimateBaseline(record(1), { method: "anchored", from: 0, anchors: [[1, 2]] })],
    [
      "no-anchors",
      () =>
        estimateBaseline(record(1), {
          method: "anchored",
          from: 0,
          anchors: [
            [1, 2],
            [3.0001, 3.0002],
          ],
        }),
    ],
  ])("%s", (code, call) => {
    expect(call).toThrow(expect.objectContaining({ code }));
  });
});

describe.each([1, 2, 3])("the void, seed %i", (seed) => {
  const random = createRandom(seed);
  const [DEPTH, TAU, NOISE] = [3, 0.06, 0.001];
  const dip = (t: number) => (t < 1.5 ? gauss(t, 1.5, 0.04) : Math.exp(-(t - 1.5) / TAU));
  const signal = time.map((t) => 1 - DEPTH * dip(t) + NOISE * random.normal());

  it("ends where the exponential recovery has fallen to half the noise, within 10 %", () => {
    const found = voidRegion(time, signal, 1.5);
    const recovery = TAU * Math.log(DEPTH / (0.5 * NOISE));
    expect(Math.abs((found.dip ?? 0) - 1.5)).toBeLessThan(0.02);
    expect(Math.abs((found.end - 1.5) / recovery - 1)).toBeLessThan(0.1);
  });

  it("is not found in plain noise", () => {
    const flat = time.map(() => 1 + NOISE * random.normal());
    expect(voidRegion(time, flat, 1.5)).toEqual({ end: 1.5, dip: undefined });
  });

  it("is where the baseline starts when nothing else is said", () => {
    const chromatogram = makeChromatogram({ id: "void", time, signal });
    const { from } = estimateBaseline(chromatogram, { holdUpTime: 1.5 });
    expect(Math.abs(from - voidRegion(time, signal, 1.5).end)).toBeLessThan(1 / 300);
  });
});

describe("widths and smoothing", () => {
  it("the half-height width of a sampled Gaussian is 2.3548 σ within 0.1 %; none beside a higher point", () => {
    const y = Float64Array.from({ length: 400 }, (_, i) => gauss(i, 200, 15));
    expect(Math.abs((widthAtHalf(y, 200) ?? 0) / (2.35482 * 15) - 1)).toBeLessThan(1e-3);
    expect(widthAtHalf(y, 190)).toBeUndefined();
  });

  it.each([1, 2, 3])("widest and median of three peaks are found within 10 %%, seed %i", (seed) => {
    const random = createRandom(seed);
    const y = time.map(
      (_, i) => gauss(i, 600, 15) + gauss(i, 1300, 22) + gauss(i, 2200, 40) + 0.002 * random.normal(),
    );
    expect(Math.abs(widestPeak(y, 30) / 40 - 1)).toBeLessThan(0.1);
    expect(Math.abs(medianPeakWidth(y, 30) / 22 - 1)).toBeLessThan(0.1);
    expect(
      widestPeak(
        y.map(() => random.normal()),
        30,
      ),
    ).toBe(30);
  });

  it("smoothing adds the kernel's variance, keeps the sum and leaves a level alone", () => {
    const y = Float64Array.from({ length: 400 }, (_, i) => gauss(i, 200, 15));
    const smooth = gaussianSmooth(y, 20);
    const sum = (v: Float64Array, f: (i: number) => number) => v.reduce((s, value, i) => s + value * f(i), 0);
    expect(sum(smooth, () => 1)).toBeCloseTo(
      sum(y, () => 1),
      6,
    );
    const variance = sum(smooth, (i) => (i - 200) ** 2) / sum(smooth, () => 1);
    expect(Math.abs(variance / (15 ** 2 + 20 ** 2) - 1)).toBeLessThan(3e-3);
    for (const value of gaussianSmooth(new Float64Array(50).fill(7), 9)) expect(value).toBeCloseTo(7, 12);
  });
});

import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { findPeaks } from "../../toolkit/peaks/detection/find-peaks.js";
import { integrateChromatogram } from "../../toolkit/peaks/integration/integrate-chromatogram.js";
import { estimateBaseline } from "../../toolkit/signal/baseline.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";

interface Gaussian {
  readonly at: number;
  readonly height: number;
  readonly sigma: number;
}

const INTERVAL = 1 / 300;
/** Area of a Gaussian: height·σ·√(2π). */
const areaOf = ({ height, sigma }: Gaussian) => height * sigma * Math.sqrt(2 * Math.PI);

/** Gaussians on a slanting line with white noise of 1 nS/cm: 20 min at 5 Hz. */
function record(peaks: readonly Gaussian[], seed: number, noise = 0.001) {
  const random = createRandom(seed);
  const time = Float64Array.from({ length: 6000 }, (_, i) => i * INTERVAL);
  const signal = time.map((t) => {
    const bumps = peaks.map(({ at, height, sigma }) => height * Math.exp(-0.5 * ((t - at) / sigma) ** 2));
    return bumps.reduce((sum, each) => sum + each, 0.8 + 0.003 * t) + noise * random.normal();
  });
  return makeChromatogram({ id: `seed ${seed}`, time, signal, signalUnit: "µS/cm" });
}

const THREE: readonly Gaussian[] = [
  { at: 4, height: 2, sigma: 0.08 },
  { at: 9, height: 0.02, sigma: 0.1 },
  { at: 14, height: 30, sigma: 0.13 },
];

describe.each([1, 2, 3])("findPeaks, seed %i", (seed) => {
  it("finds three separated peaks at their apexes and nothing else above the threshold", () => {
    const found = findPeaks(record(THREE, seed), { from: 0 });
    expect(found.length).toBe(3);
    found.forEach((peak, k) => {
      expect(Math.abs(peak.retentionTime - THREE[k].at)).toBeLessThan(0.02);
      expect(Math.abs(peak.height / THREE[k].height - 1)).toBeLessThan(0.25);
      expect(peak.start).toBeLessThan(THREE[k].at - 1.5 * THREE[k].sigma);
      expect(peak.end).toBeGreaterThan(THREE[k].at + 1.5 * THREE[k].sigma);
      expect(peak.shoulderOf).toBeUndefined();
    });
  });

  it("signal-to-noise is the height over the noise put in", () => {
    const tall = findPeaks(record(THREE, seed), { from: 0 })[0];
    expect(Math.abs(tall.signalToNoise / 2000 - 1)).toBeLessThan(0.15);
  });

  it("a higher least signal-to-noise leaves the small one out", () => {
    const found = findPeaks(record(THREE, seed), { from: 0, minimumSignalToNoise: 100 });
    expect(found.map((peak) => Math.round(peak.retentionTime))).toEqual([4, 14]);
  });

  it("a shoulder without a valley is found and says on whom it leans", () => {
    const pair = [
      { at: 8, height: 2, sigma: 0.1 },
      { at: 8.26, height: 0.6, sigma: 0.1 },
    ];
    const [host, shoulder] = findPeaks(record(pair, seed), { from: 0, peakWidth: 0.1 });
    expect(Math.abs(shoulder.retentionTime - 8.26)).toBeLessThan(0.06);
    expect(shoulder.shoulderOf).toBe(host.retentionTime);
    expect(host.end).toBe(shoulder.start);
  });
});

describe("findPeaks refuses", () => {
  it("a baseline of another record", () => {
    const chromatogram = record(THREE, 1);
    const baseline = estimateBaseline(chromatogram, { from: 0 });
    const short = { ...baseline, values: baseline.values.subarray(1) };
    expect(() => findPeaks(chromatogram, { baseline: short })).toThrow(
      expect.objectContaining({ code: "bad-baseline" }),
    );
  });

  it("a width of zero", () => {
    expect(() => findPeaks(record(THREE, 1), { peakWidth: 0 })).toThrow(
      expect.objectContaining({ code: "bad-width" }),
    );
  });
});

describe.each([1, 2, 3])("integrateChromatogram, seed %i", (seed) => {
  it("areas of separated Gaussians lie within 1 % of height·σ·√(2π), the tiny one within 3 u", () => {
    const { peaks } = integrateChromatogram(record(THREE, seed), { from: 0 });
    expect(Math.abs(peaks[0].area.value / areaOf(THREE[0]) - 1)).toBeLessThan(0.01);
    expect(Math.abs(peaks[2].area.value / areaOf(THREE[2]) - 1)).toBeLessThan(0.01);
    expect(Math.abs(peaks[1].area.value - areaOf(THREE[1]))).toBeLessThan(3 * peaks[1].area.u);
    expect(peaks[1].area.u / peaks[1].area.value).toBeLessThan(0.3);
    expect(peaks[0].area.unit).toBe("µS/cm·min");
  });

  it("a clear shoulder is told from its host by a fit, and both areas are right within 3 u and 3 %", () => {
    const pair = [
      { at: 8, height: 2, sigma: 0.1 },
      { at: 8.26, height: 0.6, sigma: 0.1 },
    ];
    const { peaks } = integrateChromatogram(record(pair, seed), { from: 0, peakWidth: 0.1 });
    expect(peaks.map(({ rule }) => rule)).toEqual(["joint fit", "joint fit"]);
    expect(peaks[1].shoulderOf).toBeCloseTo(peaks[0].retentionTime, 3);
    for (const [k, { area }] of peaks.entries()) {
      const off = Math.abs(area.value - areaOf(pair[k]));
      expect(off).toBeLessThan(3 * area.u);
      expect(off).toBeLessThan(0.03 * area.value);
    }
  });
});

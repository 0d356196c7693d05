// Closed-form table of exponentially modified Gaussians, μ = 100σ (handbook of the laboratory, figures of peaks §3;
// derived from the formula, three printed decimals).
import { describe, expect, it } from "vitest";
import { emg, emgApexShift } from "../../toolkit/peaks/emg.js";
import { peakFigures, peakResolution } from "../../toolkit/peaks/peak-figures.js";

/** τ/σ, apex shift, W½/σ, B/A at 10 %, S at 5 %, true plates, half-height and Foley–Dorsey plates over true ones. */
const TABLE = [
  [0.1, 0.099, 2.366, 1.001, 1.001, 9921, 1.0, 1.006],
  [0.3, 0.279, 2.444, 1.028, 1.017, 9229, 1.012, 0.998],
  [0.5, 0.428, 2.559, 1.093, 1.057, 8080, 1.057, 0.99],
  [0.75, 0.577, 2.721, 1.213, 1.134, 6496, 1.166, 0.988],
  [1, 0.697, 2.891, 1.362, 1.228, 5100, 1.319, 0.99],
  [1.5, 0.881, 3.236, 1.701, 1.435, 3170, 1.7, 0.992],
  [2, 1.018, 3.586, 2.056, 1.648, 2081, 2.11, 0.987],
  [3, 1.215, 4.3, 2.766, 2.07, 1061, 2.9, 0.952],
] as const;

describe.each(TABLE)("at τ/σ = %d", (tau, shift, half, asymmetry, tailing, plates, halfRatio, foleyRatio) => {
  const figures = peakFigures({ retentionTime: 100 + emgApexShift(tau), sigma: 1, tau });
  it("apex shift, W½, B/A and S are the table's", () => {
    expect(Math.abs(emgApexShift(tau) - shift)).toBeLessThanOrEqual(6e-4);
    expect(Math.abs(figures.widthAtHalfHeight - half)).toBeLessThanOrEqual(6e-4);
    expect(Math.abs(figures.asymmetry - asymmetry)).toBeLessThanOrEqual(6e-4);
    expect(Math.abs(figures.tailing - tailing)).toBeLessThanOrEqual(6e-4);
  });
  it("true plates and what the two formulas make of them are the table's", () => {
    expect(Math.abs(figures.plateNumberMoments - plates)).toBeLessThanOrEqual(0.6);
    expect(Math.abs(figures.plateNumber / figures.plateNumberMoments - halfRatio)).toBeLessThanOrEqual(6e-3);
    expect(
      Math.abs(figures.plateNumberFoleyDorsey / figures.plateNumberMoments - foleyRatio),
    ).toBeLessThanOrEqual(6e-4);
  });
  it("a front is its mirror image", () => {
    const front = peakFigures({ retentionTime: 100 - emgApexShift(tau), sigma: 1, tau: -tau });
    expect(front.asymmetry).toBeCloseTo(1 / figures.asymmetry, 9);
    expect(front.widthAtHalfHeight).toBeCloseTo(figures.widthAtHalfHeight, 9);
    expect(front.moments.skewness).toBeCloseTo(-figures.moments.skewness, 12);
  });
});

describe("a record", () => {
  const time = Float64Array.from({ length: 401 }, (_, i) => 4 + i / 200);
  const signal = time.map((t) => 3 * emg(t, 5, 0.1, 0.08));

  it("cut off above a level shows no width at that level, and still those above", () => {
    const cut = { time: time.subarray(0, 255), signal: signal.subarray(0, 255) };
    const figures = peakFigures(cut);
    expect(figures.widthAtHalfHeight).toBeCloseTo(peakFigures({ time, signal }).widthAtHalfHeight, 12);
    expect(figures.tailing).toBeNaN();
    expect(figures.asymmetry).toBeNaN();
  });

  it("with a clipped apex shows no widths at all", () => {
    const top = Math.max(...signal);
    const clipped = peakFigures({ time, signal: signal.map((y) => Math.min(y, 0.95 * top)) });
    expect(clipped.plateNumber).toBeNaN();
    expect(clipped.asymmetry).toBeNaN();
  });

  it("is measured the same on an uneven grid of the same fineness within 0.1 %", () => {
    const uneven = time.map((t, i) => t + (i % 2 ? 0.001 : 0));
    const figures = peakFigures({ time: uneven, signal: uneven.map((t) => 3 * emg(t, 5, 0.1, 0.08)) });
    expect(Math.abs(figures.plateNumber / peakFigures({ time, signal }).plateNumber - 1)).toBeLessThan(1e-3);
  });

  it("does not change when it is measured", () => {
    const before = signal.slice();
    peakFigures({ time, signal });
    expect(signal).toEqual(before);
  });
});

describe("misuse is refused", () => {
  const peak = { retentionTime: 4, sigma: 0.05, tau: 0 };
  const time = Float64Array.of(0, 1, 2, 3, 4, 5);
  it.each([
    ["bad-width", () => peakFigures({ ...peak, sigma: 0 })],
    ["bad-hold-up-time", () => peakFigures(peak, { holdUpTime: 5 })],
    ["bad-hold-up-time", () => peakFigures(peak, { holdUpTime: 0 })],
    ["no-peak", () => peakFigures({ time, signal: time })],
    ["no-peak", () => peakFigures({ time, signal: time.map(() => -1) })],
    ["short-stretch", () => peakFigures({ time: time.subarray(0, 4), signal: time.subarray(0, 4) })],
    ["length-mismatch", () => peakFigures({ time, signal: time.subarray(1) })],
  ])("%s", (code, call) => {
    expect(call).toThrow(expect.objectContaining({ code }));
  });

  it("resolution is negative when the peaks are named in the wrong order", () => {
    expect(peakResolution({ ...peak, retentionTime: 4.3 }, peak)).toBeLessThan(0);
  });
});

// Closed-form table of exponentially modified Gaussians, μ = 100σ (handbook of the laboratory, figures of peaks §3;
// derived from the formula, three printed decimals).
import { describe, expect, it } from "vitest";
import { type FigureName, figureDefinitions } from "../../toolkit/peaks/figures/figure-definitions.js";
import { figureUncertainties } from "../../toolkit/peaks/figures/figure-replicas.js";
import { peakFigures, peakResolution } from "../../toolkit/peaks/figures/peak-figures.js";
import { emg, emgApexShift } from "../../toolkit/peaks/shape/emg.js";
import { originOf, publishedCase } from "../numeric/reference.js";

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

describe("tangents and 4.4 % of the closed form (same table, N_tan/N)", () => {
  it.each([
    [0.1, 1.0],
    [0.3, 1.011],
    [0.5, 1.053],
    [0.75, 1.155],
    [1, 1.301],
    [1.5, 1.67],
    [2, 2.08],
    [3, 2.9],
  ])("at τ/σ = %d tangent plates over true ones are %d", (tau, ratio) => {
    const figures = peakFigures({ retentionTime: 100 + emgApexShift(tau), sigma: 1, tau });
    expect(Math.abs(figures.plateNumberTangent / figures.plateNumberMoments - ratio)).toBeLessThanOrEqual(
      ratio < 1.6 ? 6e-4 : 6e-3,
    );
  });

  it("all plates of a Gaussian are t²/σ², its base 4σ (definition)", () => {
    const figures = peakFigures({ retentionTime: 50, sigma: 1, tau: 0 });
    for (const plates of [figures.plateNumber, figures.plateNumberTangent, figures.plateNumberFiveSigma])
      expect(Math.abs(plates / 2500 - 1)).toBeLessThan(1e-9);
    expect(Math.abs(figures.baseWidth - 4)).toBeLessThan(1e-9);
  });

  it("Foley and Dorsey's σ is right within 1 % and τ within 3.5 % from B/A 1.09 on, and not given below 1.03", () => {
    for (const tau of [0.5, 0.75, 1, 1.5, 2]) {
      const { foleyDorsey } = peakFigures({ retentionTime: 100, sigma: 1, tau });
      expect(Math.abs(foleyDorsey.sigma - 1)).toBeLessThan(0.01);
      expect(Math.abs(foleyDorsey.tau / tau - 1)).toBeLessThan(0.035);
    }
    expect(peakFigures({ retentionTime: 100, sigma: 1, tau: 0.2 }).foleyDorsey.tau).toBeNaN();
  });
});

describe("what a record does not show is missing with its reason", () => {
  const time = Float64Array.from({ length: 1201 }, (_, i) => 4 + i / 300);
  const peak = (at: number, sigma: number, tau: number) => time.map((t) => emg(t, at, sigma, tau));
  const main = peak(5, 0.06, 0.02);
  const plus = (other: Float64Array, factor: number) => main.map((y, i) => y + factor * other[i]);
  const figuresOf = (signal: Float64Array, options = {}) => peakFigures({ time, signal }, options);

  it("levels below a valley to a neighbour, but not those above it", () => {
    const figures = figuresOf(plus(peak(5.24, 0.06, 0.02), 0.8));
    expect(figures.asymmetry).toBeNaN();
    expect(figures.missing.asymmetry).toMatch(/10 % of the height: a valley/);
    expect(figures.missing.plateNumberFoleyDorsey).toMatch(/valley/);
    expect(Math.abs(figures.widthAtHalfHeight / figuresOf(main).widthAtHalfHeight - 1)).toBeLessThan(0.02);
    expect(figures.missing.plateNumber).toBeUndefined();
  });

  it("everything that needs a top that was cut off", () => {
    const figures = figuresOf(main.map((y) => Math.min(y, 4)));
    expect(figures.plateNumber).toBeNaN();
    expect(figures.plateNumberTangent).toBeNaN();
    expect(figures.missing.plateNumber).toMatch(/limit/);
    expect(figures.warnings.join()).toMatch(/equal highest readings/);
  });

  it("everything where the highest reading is a spike", () => {
    const spiked = main.slice();
    spiked[310] += 3;
    expect(figuresOf(spiked).missing.widthAtHalfHeight).toMatch(/spike/);
  });

  it("5 % of the height where signal to noise is below 60", () => {
    const rms = Math.max(...main) / 50;
    expect(figuresOf(main, { noise: { rms } }).missing.tailing).toMatch(/signal to noise 50/);
    expect(figuresOf(main, { noise: { rms: rms / 2 } }).missing.tailing).toBeUndefined();
  });

  it("low levels over a baseline that falls below zero beside the peak", () => {
    const figures = figuresOf(main.map((y, i) => y - 0.25 / (1 + Math.exp(-(time[i] - 5.1) / 0.02))));
    expect(figures.missing.tailing).toMatch(/mend the baseline/);
    expect(figures.plateNumber).toBeGreaterThan(0);
  });

  it("moments of a record that does not come down to 0.1 % of the height", () => {
    const short = { time: time.subarray(240, 350), signal: main.subarray(240, 350) };
    expect(peakFigures(short).missing.plateNumberMoments).toMatch(/moments need both ends/);
    expect(figuresOf(main).plateNumberMoments).toBeCloseTo(5.02 ** 2 / (0.06 ** 2 + 0.02 ** 2), 0);
  });

  it("a coarse record warns, a front warns", () => {
    const coarse = { time: time.filter((_, i) => i % 8 === 0), signal: main.filter((_, i) => i % 8 === 0) };
    expect(peakFigures(coarse).warnings.join()).toMatch(/samples across the half height/);
    expect(peakFigures({ retentionTime: 5, sigma: 0.06, tau: -0.06 }).warnings.join()).toMatch(/front/);
    expect(figuresOf(main).warnings).toEqual([]);
  });
});

describe("signal to noise", () => {
  const published = publishedCase("t08_peak_measures.json", "signal_to_noise_definitions");
  it(`is the published one by both definitions (${originOf(published)})`, () => {
    const { H, noise_peak_to_peak: h } = published.inputs as Readonly<Record<string, number>>;
    const shape = { retentionTime: 5, sigma: 1, tau: 0, area: H * Math.sqrt(2 * Math.PI) };
    const figures = peakFigures(shape, { noise: { h, rms: h / 5 } });
    expect(figures.signalToNoise).toBeCloseTo(published.expected.sn_2H_over_h as number, 9);
    expect(figures.signalToNoiseRms).toBeCloseTo(H / (h / 5), 9);
    expect(peakFigures(shape).signalToNoise).toBeUndefined();
    expect(() => peakFigures(shape, { noise: { rms: 0 } })).toThrow(
      expect.objectContaining({ code: "bad-noise" }),
    );
  });
});

describe("every figure", () => {
  it("that stands in a result has a name, a formula, a standard and a range", () => {
    const figures = peakFigures(
      { retentionTime: 5, sigma: 0.1, tau: 0.02, area: 1 },
      { holdUpTime: 1, noise: { rms: 1, h: 5 } },
    );
    const passed = new Set([
      "kind",
      "retentionTime",
      "height",
      "foleyDorsey",
      "moments",
      "gradient",
      "missing",
      "warnings",
      "toString",
    ]);
    for (const name of Object.keys(figures).filter((key) => !passed.has(key))) {
      const about = figureDefinitions[name as FigureName];
      expect(about, name).toBeDefined();
      for (const text of [about.name, about.formula, about.standard, about.valid]) expect(text).not.toBe("");
    }
  });

  it("is called apparent in a gradient", () => {
    const shape = { retentionTime: 5, sigma: 0.1, tau: 0 };
    expect(String(peakFigures(shape, { gradient: true, holdUpTime: 1 }))).toMatch(
      /k_app = 4.*gradient, not a column property/,
    );
    expect(String(peakFigures(shape))).not.toMatch(/gradient/);
  });
});

describe("uncertainty from replicas", () => {
  const shape = { retentionTime: 5, sigma: 0.08, tau: 0.03, area: 1 };
  const interval = 1 / 300;
  const height = peakFigures(shape).height;
  it("lies above the least possible for white noise, and within three times of it", () => {
    const ratio = 300;
    const found = figureUncertainties(shape, { interval, noise: height / ratio });
    const least = 1.06 / (ratio * Math.sqrt(shape.sigma / interval));
    const { retentionTime, widthAtHalfHeight } = found;
    const time = (retentionTime?.u ?? 0) / shape.sigma / least;
    const width = (widthAtHalfHeight?.u ?? 0) / (widthAtHalfHeight?.value ?? 1) / least;
    expect(time).toBeGreaterThan(0.9);
    expect(time).toBeLessThan(3);
    expect(width).toBeGreaterThan(0.9);
    expect(width).toBeLessThan(3);
    expect(found.plateNumber?.u).toBeGreaterThan(0);
  });

  it("grows with slow noise taken from blanks, and leaves out what the replicas do not show", () => {
    const slow = Float64Array.from({ length: 4000 }, (_, i) => (height / 40) * Math.sin(i / 45));
    const found = figureUncertainties(shape, { interval, blanks: [slow], replicas: 50 });
    const white = figureUncertainties(shape, { interval, noise: height / 2000, replicas: 50 });
    expect(found.asymmetry?.u).toBeGreaterThan(5 * (white.asymmetry?.u ?? 0));
    expect(
      figureUncertainties(shape, { interval, noise: height / 20, replicas: 50 }).tailing,
    ).toBeUndefined();
    expect(() => figureUncertainties(shape, { interval })).toThrow(
      expect.objectContaining({ code: "no-noise" }),
    );
  });
});

// The noise is a sum of processes whose covariance is known in closed form, so that the true standard deviation of any
// weighted sum is √(hΓh′) exactly. Percentages of the handbook's area study (0.47, 1.95 and 5.73 % of the area of a peak
// fifty white standard deviations high) are printed beside ours: theirs is one blank each.
import { describe, expect, it } from "vitest";
import { choleskyFactor, choleskyInverse } from "../../toolkit/numeric/dense.js";
import { emgWithGradient } from "../../toolkit/peaks/shape/emg.js";
import { noiseAutocovariance } from "../../toolkit/signal/autocovariance.js";
import { blankNoise } from "../../toolkit/signal/blank-noise.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { weightedNoise } from "../../toolkit/signal/weighted-noise.js";
import { inventedNoise, NOISE_KINDS, type NoiseKind, trueCovariance } from "./invented-noise.js";

const STEP = 0.2;
const MINUTES = 20;
const N = (60 * MINUTES) / STEP;

function blank(kind: NoiseKind, seed: number | string, scale = 1) {
  const signal = inventedNoise(N, STEP, kind, seed).map((y) => scale * y);
  const time = Float64Array.from(signal, (_, i) => (i * STEP) / 60);
  return makeChromatogram({ id: `blank ${seed}`, time, signal });
}

function trueScatter(h: Float64Array, kind: NoiseKind): number {
  let sum = 0;
  for (let lag = 0; lag < h.length; lag++) {
    let product = 0;
    for (let i = lag; i < h.length; i++) product += h[i] * h[i - lag];
    sum += (lag === 0 ? 1 : 2) * trueCovariance(lag, STEP, kind) * product;
  }
  return Math.sqrt(sum);
}

/** Weights of a sum over `wide` samples above the line through means of `flank` samples on either side. */
function anchored(wide: number, flank: number): Float64Array {
  const share = wide / (2 * flank);
  return Float64Array.from({ length: wide + 2 * flank }, (_, i) =>
    i >= flank && i < flank + wide ? 1 : -share,
  );
}

describe("covariances", () => {
  it("of an alternating record are ±amplitude² at even and odd lags, less what the line takes", () => {
    const time = Float64Array.from({ length: 400 }, (_, i) => i / 300);
    const signal = time.map((t, i) => 5 + 2 * t + (i % 2 === 0 ? 0.01 : -0.01));
    const { values, interval, unit } = noiseAutocovariance(makeChromatogram({ id: "saw", time, signal }), {
      from: 0,
      maximumLag: 0.02,
    });
    expect(values.length).toBe(7);
    for (const [lag, value] of values.entries()) expect(value * 1e4 * (-1) ** lag).toBeCloseTo(1, 3);
    expect(interval).toBeCloseTo(1 / 300, 12);
    expect(unit).toBe("(µS/cm)²");
  });

  it("of three records are the mean of theirs, and a drift of each does not count", () => {
    const records = [1, 2, 3].map((seed) => blank(NOISE_KINDS[1], seed));
    const tilted = records.map((r, k) =>
      makeChromatogram({ ...r, signal: r.signal.map((y, i) => y + 7 * k - 0.01 * k * i) }),
    );
    const whole = { from: 0 };
    const mean = noiseAutocovariance(records, whole);
    const single = records.map((record) => noiseAutocovariance(record, whole).values);
    const again = noiseAutocovariance(tilted, whole);
    mean.values.forEach((value, lag) => {
      expect(Math.abs(value - (single[0][lag] + single[1][lag] + single[2][lag]) / 3)).toBeLessThan(1e-12);
      expect(Math.abs(value - again.values[lag])).toBeLessThan(1e-9);
    });
    expect(mean.records).toBe(3);
    expect(mean.values.length).toBe(301);
  });

  it("of noise that remembers by half from reading to reading give n_eff/n = 1/3 within 12 %, of white noise 1", () => {
    const shares = [1, 2, 3].map((seed) => {
      const fresh = inventedNoise(N, STEP, NOISE_KINDS[0], seed);
      let state = 0;
      const signal = fresh.map((e) => (state = 0.5 * state + Math.sqrt(0.75) * e));
      const time = Float64Array.from(signal, (_, i) => (i * STEP) / 60);
      return noiseAutocovariance(makeChromatogram({ id: "half", time, signal }), { from: 0 })
        .effectiveFraction;
    });
    for (const share of shares) expect(Math.abs(3 * share - 1)).toBeLessThan(0.12);
    expect(noiseAutocovariance(blank(NOISE_KINDS[0], 1), { from: 0 }).effectiveFraction).toBe(1);
  });
});

/** First row of the pseudo-inverse: the weights of the area in a fit of one tailing peak and a straight baseline. */
function fittedAreaWeights(): { readonly weights: Float64Array; readonly height: number } {
  const rows = Array.from({ length: 350 }, (_, i) => {
    const gradient = new Float64Array(4);
    emgWithGradient(i * STEP, 28, 5, 2, gradient);
    return [...gradient, 1, (i * STEP - 35) / 35];
  });
  const gram = Float64Array.from({ length: 36 }, (_, k) =>
    rows.reduce((sum, row) => sum + row[Math.floor(k / 6)] * row[k % 6], 0),
  );
  const inverse = choleskyInverse(choleskyFactor(gram, 6), 6);
  const weights = rows.map((row) => row.reduce((sum, value, k) => sum + inverse[k] * value, 0));
  return { weights: Float64Array.from(weights), height: Math.max(...rows.map(([value]) => value)) };
}

describe.each(NOISE_KINDS)("$name: √(hΓh′) from a blank of 20 min", (kind) => {
  const { weights, height } = fittedAreaWeights();
  const found = [1, 2, 3].map((seed) => noiseAutocovariance(blank(kind, seed, height / 50), { from: 0 }));
  const truth = (trueScatter(weights, kind) * height) / 50;

  it("of a fitted area is within 12 % of the true scatter", () => {
    for (const covariance of found)
      expect(Math.abs(weightedNoise(weights, covariance) / truth - 1)).toBeLessThan(0.12);
  });

  it("agrees with the handbook's study within a fifth", () => {
    const handbook = { white: 0.0047, "white + equal 1/f": 0.0195, "white + 3× 1/f": 0.0573 }[kind.name];
    const mean = found.reduce((sum, covariance) => sum + weightedNoise(weights, covariance) / 3, 0);
    expect(Math.abs(mean / handbook - 1)).toBeLessThan(0.2);
  });

  it("the scatter on slices of three blanks is within 15 % of it too", () => {
    const records = [1, 2, 3].map((seed) => inventedNoise(N, STEP, kind, seed).map((y) => (y * height) / 50));
    const slices = blankNoise(
      records,
      records.map(() => new Uint8Array(N).fill(1)),
    );
    const scatter = slices.scatterOf(weights, [0, weights.length - 1], N / 2, N);
    expect(Math.abs(scatter / truth - 1)).toBeLessThan(0.15);
  });

  it.each([
    [100, 50],
    [600, 100],
    [1200, 200],
  ])(
    "of %i samples above a line on %i either side it is between 0.85 and 1.25 times the true scatter",
    (wide, flank) => {
      const h = anchored(wide, flank);
      const exact = (trueScatter(h, kind) * height) / 50;
      for (const covariance of found) {
        const ratio = weightedNoise(h, covariance) / exact;
        expect(ratio).toBeGreaterThan(0.85);
        expect(ratio).toBeLessThan(1.25);
      }
    },
  );

  it("a window of eight minutes, eight times the longest lag, asks for an hour of blanks: then likewise", () => {
    const h = anchored(2400, 300);
    const exact = (trueScatter(h, kind) * height) / 50;
    const hour = [1, 2, 3].map((seed) => blank(kind, seed, height / 50));
    const ratio = weightedNoise(h, noiseAutocovariance(hour, { from: 0 })) / exact;
    expect(ratio).toBeGreaterThan(0.85);
    expect(ratio).toBeLessThan(1.25);
  });
});

describe("the limits of what can be said", () => {
  const time = Float64Array.from({ length: 400 }, (_, i) => i / 300);
  const of = (signal: Float64Array) => makeChromatogram({ id: "odd", time, signal });

  it("a constant signal has no noise, and an n_eff/n of 1", () => {
    const { values, effectiveFraction } = noiseAutocovariance(of(time.map(() => 3)));
    expect(values.every((value) => value === 0)).toBe(true);
    expect(effectiveFraction).toBe(1);
  });

  it.each([
    ["no records", "no-records", () => noiseAutocovariance([])],
    ["ten readings", "short-stretch", () => noiseAutocovariance(of(time), { from: 0, to: 0.03 })],
    ["a lag of zero", "bad-option", () => noiseAutocovariance(of(time), { maximumLag: 0 })],
    ["readings of 1e300", "out-of-range", () => noiseAutocovariance(of(time.map((_, i) => (i % 2) * 1e300)))],
    [
      "blanks of two rates",
      "different-sampling",
      () =>
        noiseAutocovariance([
          of(time),
          makeChromatogram({ id: "slow", time: time.map((t) => 2 * t), signal: time }),
        ]),
    ],
  ])("%s are refused as %s", (_, code, call) => {
    expect(call).toThrow(expect.objectContaining({ code }));
  });
});

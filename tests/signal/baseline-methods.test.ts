// Invented records: Gaussian peaks on known baselines, seeded white noise. What the methods are worth is measured in the
// study of tests/score; here it is that each does what its definition says.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { airpls } from "../../toolkit/signal/airpls.js";
import { type BaselineMethod, estimateBaseline } from "../../toolkit/signal/baseline.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { areaResponse, maskedBaseline } from "../../toolkit/signal/masked-baseline.js";
import { closed, opened, slidingExtreme } from "../../toolkit/signal/sliding-extreme.js";
import { snip } from "../../toolkit/signal/snip.js";
import { denseWhittaker, largestDifference } from "./dense-baseline.js";

const [N, RATE, NOISE] = [3000, 300, 0.001];
const time = Float64Array.from({ length: N }, (_, i) => i / RATE);
const gauss = (t: number, at: number, sigma: number) => Math.exp(-0.5 * ((t - at) / sigma) ** 2);
const level = (t: number) => 0.8 + 0.05 * Math.sin(t / 2);
const PEAKS = [
  [3, 2],
  [5, 0.4],
  [7, 5],
] as const;
const SIGMA = 0.06;

function record(seed: number, extra: (t: number) => number = () => 0) {
  const random = createRandom(seed);
  const signal = time.map(
    (t) =>
      level(t) +
      PEAKS.reduce((sum, [at, h]) => sum + h * gauss(t, at, SIGMA), 0) +
      extra(t) +
      NOISE * random.normal(),
  );
  return makeChromatogram({ id: `seed ${seed}`, time, signal });
}

const beside = (t: number) => t > 0.3 && t < 9.7 && PEAKS.every(([at]) => Math.abs(t - at) > 6 * SIGMA);
const worst = (values: Float64Array, at: (t: number) => boolean) =>
  values.reduce((most, z, i) => (at(time[i]) ? Math.max(most, Math.abs(z - level(time[i]))) : most), 0);

describe.each([1, 2, 3])("seed %i", (seed) => {
  const c = record(seed);
  const excluded = PEAKS.map(([at]) => [at - 6 * SIGMA, at + 6 * SIGMA] as const);

  it.each<[BaselineMethod, number]>([
    ["arPLS", 2],
    ["masked", 2],
    ["airPLS", 5],
    // The wave bends down here and there: a lower edge cuts its tops, and clipping does so again at every width.
    ["AsLS", 12],
    ["SNIP", 25],
  ])("%s lies within %d noise s.d. of the true baseline beside the peaks", (method, limit) => {
    const options = { method, from: 0, peakWidth: SIGMA, ...(method === "masked" ? { excluded } : {}) };
    const { values } = estimateBaseline(c, options);
    expect(worst(values, beside)).toBeLessThan(limit * NOISE);
  });

  it("AsLS and SNIP lie below arPLS: they follow the lower edge of the noise", () => {
    const mean = (method: BaselineMethod) => {
      const { values } = estimateBaseline(c, { method, from: 0, peakWidth: SIGMA });
      const own = [...time.keys()].filter((i) => beside(time[i]));
      return own.reduce((sum, i) => sum + values[i] - level(time[i]), 0) / own.length;
    };
    const reference = mean("arPLS");
    expect(mean("AsLS")).toBeLessThan(reference - 0.5 * NOISE);
    expect(mean("SNIP")).toBeLessThan(reference - 0.2 * NOISE);
  });

  it("a dip of 30 000 noise s.d. is found, bridged and said; left in, it ruins the same baseline", () => {
    const dip = (t: number) => -30 * (t < 2 ? gauss(t, 2, 0.03) : Math.exp(-(t - 2) / 0.05));
    const deep = record(seed, dip);
    const found = estimateBaseline(deep, { from: 0, peakWidth: SIGMA });
    expect(found.excluded).toHaveLength(1);
    const [from, to] = found.excluded[0];
    expect(from).toBeGreaterThan(1.7);
    expect(from).toBeLessThan(1.9);
    expect(to).toBeGreaterThan(2 + 0.05 * Math.log(30 / (2 * NOISE)));
    expect(to).toBeLessThan(2.8);
    const outside = (t: number) => beside(t) && (t < from || t > to);
    expect(worst(found.values, outside)).toBeLessThan(3 * NOISE);
    const kept = estimateBaseline(deep, { from: 0, peakWidth: SIGMA, dips: "keep" });
    expect(worst(kept.values, outside)).toBeGreaterThan(100 * NOISE);
  });

  it("valleys between peaks, and a negative step of the programme, are no dips", () => {
    const crowd = (t: number) =>
      2 * gauss(t, 4.2, SIGMA) + 3 * gauss(t, 4.5, SIGMA) + 20 * gauss(t, 4.9, SIGMA) - (t > 8 ? 0.3 : 0);
    expect(estimateBaseline(record(seed, crowd), { from: 0, peakWidth: SIGMA }).excluded).toEqual([]);
  });

  it.each<BaselineMethod>(["arPLS", "AsLS", "airPLS", "masked"])(
    "%s does not see what stands in an excluded stretch",
    (method) => {
      const spoilt = record(seed, (t) => (t >= 8 && t <= 8.5 ? 3 * Math.sin(40 * t) : 0));
      const draw = (r: typeof c) =>
        estimateBaseline(r, {
          method,
          from: 0,
          peakWidth: SIGMA,
          dips: "keep",
          // airPLS ends by a share of the whole signal: a fixed number of turns makes both the same.
          maxIterations: 8,
          excluded: [...excluded, [8, 8.5]],
        }).values;
      expect(largestDifference(draw(c), draw(spoilt))).toBeLessThan(1e-6);
    },
  );
});

describe("what a baseline keeps", () => {
  it("the rule of its stiffness, its record and its words; a λ given by hand has no rule", () => {
    const c = record(1);
    const drawn = estimateBaseline(c, { from: 0, peakWidth: SIGMA });
    expect(drawn.chromatogram).toBe(c);
    expect(drawn.stiffness?.multiple).toBe(2);
    expect(drawn.stiffness?.interval).toBeCloseTo(1 / RATE, 9);
    const { peakWidth, multiple, interval } = drawn.stiffness ?? { peakWidth: 0, multiple: 0, interval: 1 };
    expect(((multiple * peakWidth) / interval) ** 4 / (drawn.lambda ?? 0)).toBeCloseTo(1, 9);
    expect(String(drawn)).toContain("baseline of seed 1 by arPLS");
    expect(estimateBaseline(c, { from: 0, lambda: 1e6 }).stiffness).toBeUndefined();
    const snipped = estimateBaseline(c, { method: "SNIP", from: 0 });
    expect([snipped.lambda, snipped.weights.length]).toEqual([undefined, 0]);
  });

  it.each([
    ["no-mask", { method: "masked" as const }],
    ["bad-option", { method: "airpls" as BaselineMethod }],
  ])("%s is refused", (code, options) => {
    expect(() => estimateBaseline(record(1), { from: 0, ...options })).toThrow(
      expect.objectContaining({ code }),
    );
  });
});

describe.each([1, 2, 3])("definitions, seed %i", (seed) => {
  const random = createRandom(seed);
  const y = Float64Array.from({ length: 300 }, (_, i) => random.normal() + 20 * gauss(i, 150, 8));

  it("two turns of airPLS are those of its formula over dense algebra", () => {
    const first = denseWhittaker(y, new Float64Array(300).fill(1), 1e4);
    const r = y.map((value, i) => value - first[i]);
    const below = r.reduce((sum, value) => sum + Math.max(-value, 0), 0);
    const weights = r.map((value) => (value >= 0 ? 0 : Math.exp(-value / below)));
    const wanted = denseWhittaker(y, weights, 1e4);
    expect(largestDifference(airpls(y, 1e4, { maxIterations: 2 }).values, wanted)).toBeLessThan(1e-8);
  });

  it("SNIP leaves a line alone, never rises above the smoothed record, and flattens a peak it is wide enough for", () => {
    const line = Float64Array.from({ length: 4000 }, (_, i) => 2 + 0.01 * i);
    expect(Math.abs(snip(line, 8)[2000] - line[2000])).toBeLessThan(1e-10);
    const z = snip(y, 8);
    expect(z[150]).toBeLessThan(2);
    for (let i = 0; i < 300; i++)
      expect(z[i]).toBeLessThan(1 + Math.max(...y.subarray(Math.max(0, i - 12), i + 13)));
  });

  it("sliding extremes are those of a search in every window; opening lies below, closing above", () => {
    const smallest = slidingExtreme(y, 7, 1);
    const largest = slidingExtreme(y, 7, -1);
    for (let i = 0; i < 300; i++) {
      const window = y.subarray(Math.max(0, i - 7), i + 8);
      expect([smallest[i], largest[i]]).toEqual([Math.min(...window), Math.max(...window)]);
    }
    const [low, high] = [opened(y, 7), closed(y, 7)];
    for (let i = 0; i < 300; i++) expect(low[i] <= y[i] && y[i] <= high[i]).toBe(true);
  });
});

describe("beyond λ = 1e12", () => {
  const [n, noise] = [12_000, 0.01];
  const random = createRandom(1);
  const base = Float64Array.from({ length: n }, (_, i) => Math.sin(i / 6000));
  const y = base.map((b) => b + noise * random.normal());
  const free = Uint8Array.from({ length: n }, (_, i) => (i > 5000 && i < 6500 ? 0 : 1));

  it.each<BaselineMethod>(["AsLS", "airPLS", "masked"])(
    "%s goes over to block averages without a step larger than half the noise",
    (method) => {
      const c = makeChromatogram({ id: "fast", time: y.map((_, i) => i / 6000), signal: y });
      const draw = (lambda: number) =>
        estimateBaseline(c, {
          method,
          lambda,
          from: 0,
          peakWidth: 0.02,
          excluded: [[0.83, 1.08]],
          dips: "keep",
        });
      // AsLS rides the noise's lower edge, which means of blocks hardly have: there it may rise by the noise itself.
      const limit = method === "masked" ? 0.5 * noise : 4 * noise;
      expect(largestDifference(draw(1e12).values, draw(1.0001e12).values)).toBeLessThan(limit);
      expect(draw(1e16).values.every(Number.isFinite)).toBe(true);
    },
  );

  it("an area's response through block averages is its numerical derivative to 1e-9", () => {
    const lambda = 4e12;
    const shares = new Float64Array(1500).fill(1);
    const area = (signal: Float64Array) => {
      const z = maskedBaseline(signal, free, lambda).values;
      return shares.reduce((sum, share, k) => sum + share * (signal[5000 + k] - z[5000 + k]), 0);
    };
    const response = areaResponse(maskedBaseline(y, free, lambda), 5000, shares);
    expect([response.first, response.weights.length]).toEqual([0, n]);
    for (const i of [0, 1234, 4990, 5700, 6600, 11_999]) {
      const [up, down] = [1, -1].map((sign) => area(y.map((value, j) => (j === i ? value + sign : value))));
      expect(Math.abs((up - down) / 2 - response.weights[i])).toBeLessThan(1e-8);
    }
  });
});

// Invented records: Gaussian peaks on slow waves, with seeded white noise. The re-weighting is that of Baek et al.,
// Analyst 140 (2015) 250 (from memory), written here a second time over dense linear algebra.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { arpls, stiffnessFor } from "../../toolkit/signal/arpls.js";
import { asls } from "../../toolkit/signal/asls.js";
import { denseWhittaker, largestDifference } from "./dense-baseline.js";

/** Ten minutes with peaks of σ = 0.05 min on a slow wave: (0.6, 1.2, 3 and 40 high), noise in the same unit. */
function record(perMinute: number, noise: number, seed: number) {
  const random = createRandom(seed);
  const wave = (t: number) => 2 + 0.3 * Math.sin(t / 2);
  const peaks = [
    [2, 0.6],
    [4, 3],
    [6, 40],
    [8, 1.2],
  ];
  const time = Float64Array.from({ length: 10 * perMinute }, (_, i) => (i + 0.5) / perMinute);
  const base = time.map(wave);
  const y = time.map(
    (t, i) =>
      base[i] +
      noise * random.normal() +
      peaks.reduce((sum, [at, h]) => sum + h * Math.exp(-0.5 * ((t - at) / 0.05) ** 2), 0),
  );
  return { time, base, y };
}

function denseArpls(y: Float64Array, lambda: number, turns: number) {
  let w = new Float64Array(y.length).fill(1);
  let z = w;
  for (let turn = 0; turn < turns; turn++) {
    z = denseWhittaker(y, w, lambda);
    const below = Array.from(y, (value, i) => value - z[i]).filter((r) => r < 0);
    const m = below.reduce((sum, r) => sum + r, 0) / below.length;
    const s = Math.sqrt(below.reduce((sum, r) => sum + (r - m) ** 2, 0) / below.length);
    w = Float64Array.from(y, (value, i) => 1 / (1 + Math.exp((2 * (value - z[i] - (2 * s - m))) / s)));
  }
  return { z, w };
}

describe.each([1, 2, 3])("seed %i", (seed) => {
  const { y, base, time } = record(30, 0.002, seed);
  const lambda = stiffnessFor(0.05, 1 / 30);

  it("agrees with the same re-weighting over dense algebra to 1e-9, weights to 1e-7", () => {
    const dense = denseArpls(y, lambda, 6);
    const ours = arpls(y, lambda, { maxIterations: 6, tolerance: 0 });
    expect(ours.iterations).toBe(6);
    expect(largestDifference(ours.values, dense.z)).toBeLessThan(1e-9);
    expect(largestDifference(ours.weights, dense.w)).toBeLessThan(1e-7);
  });

  it("settles, and says so; a limit of two turns is said not to", () => {
    expect(arpls(y, lambda).converged).toBe(true);
    const cut = arpls(y, lambda, { maxIterations: 2 });
    expect([cut.converged, cut.iterations]).toEqual([false, 2]);
  });

  it("lies within two noise s.d. of the true baseline where no peak stands", () => {
    const z = arpls(y, lambda).values;
    const free = (t: number) => [2, 4, 6, 8].every((at) => Math.abs(t - at) > 0.35);
    const errors = z.map((value, i) => (free(time[i]) ? Math.abs(value - base[i]) : 0));
    expect(Math.max(...errors)).toBeLessThan(2 * 0.002);
  });

  it("AsLS rides the lower edge: its mean residual where no peak stands lies above arPLS's", () => {
    const mean = (z: Float64Array) => {
      const own = Array.from(time.keys()).filter((i) => time[i] < 1.5);
      return own.reduce((sum, i) => sum + y[i] - z[i], 0) / own.length;
    };
    expect(mean(asls(y, lambda).values)).toBeGreaterThan(mean(arpls(y, lambda).values) + 0.001);
  });
});

describe.each([3, 4, 5, 6, 7, 8, 9, 14, 15])("a record of %i points", (n) => {
  it("is re-weighted turn by turn as over dense algebra, to 1e-8", () => {
    const random = createRandom(n);
    const y = Float64Array.from({ length: n }, () => random.normal());
    const turns = 3;
    const dense = denseArpls(y, 10, turns);
    const ours = arpls(y, 10, { maxIterations: turns, tolerance: 0 });
    expect(largestDifference(ours.values, dense.z)).toBeLessThan(1e-8);
    expect(largestDifference(ours.weights, dense.w)).toBeLessThan(1e-8);
  });

  it("a constant or straight one is its own baseline, beyond λ = 1e12 too", () => {
    const line = Float64Array.from({ length: n }, (_, i) => 2 + 0.1 * i);
    for (const lambda of [1, 1e6, 1e13, 1e20]) {
      expect(largestDifference(arpls(line, lambda).values, line)).toBeLessThan(1e-5);
    }
  });
});

it.each([0, 1, 2])("%i points have no baseline of their own: refused", (n) => {
  expect(() => arpls(new Float64Array(n), 10)).toThrow(RangeError);
});

describe("the stiffness rule (2·σ·rate)⁴", () => {
  it("is a fourth power of samples per σ", () => {
    expect(stiffnessFor(0.05, 1 / 300)).toBeCloseTo(30 ** 4, 3);
    expect(stiffnessFor(0.05, 1 / 600) / stiffnessFor(0.05, 1 / 300)).toBeCloseTo(16, 9);
  });

  it("draws the same baseline at 5, 10 and 20 readings a second, within 1 % of the wave", () => {
    const at = (perMinute: number) => {
      const { y, time } = record(perMinute, 1e-3, 1);
      const { values } = arpls(y, stiffnessFor(0.05, 1 / perMinute));
      return (t: number) => values[time.findIndex((own) => own >= t)];
    };
    const [slow, middle, fast] = [300, 600, 1200].map(at);
    for (let t = 0.5; t < 9.6; t += 0.1) {
      expect(Math.abs(middle(t) - slow(t))).toBeLessThan(0.003);
      expect(Math.abs(fast(t) - slow(t))).toBeLessThan(0.003);
    }
  });
});

describe.each([1, 2, 3])("beyond λ = 1e12 the record is averaged in blocks, seed %i", (seed) => {
  const [n, noise] = [40_000, 0.01];
  const random = createRandom(seed);
  const base = Float64Array.from({ length: n }, (_, i) => Math.sin(i / 6000));
  const y = base.map((b, i) => b + 5 * Math.exp(-0.5 * ((i - 20_000) / 400) ** 2) + noise * random.normal());
  const full = arpls(y, 1e12).values;
  const blocks = arpls(y, 1.0001e12).values;

  it("that baseline joins the full one within a fifth of the noise: weights see the noise of a block there", () => {
    expect(blocks.length).toBe(n);
    expect(largestDifference(full, blocks)).toBeLessThan(0.2 * noise);
  });

  it("and lies nearer to the true one than the full one does", () => {
    const error = (z: Float64Array) =>
      Math.sqrt(z.reduce((sum, value, i) => sum + (value - base[i]) ** 2, 0) / n);
    expect(error(blocks)).toBeLessThan(error(full));
  });
});

it("the record is not written to", () => {
  const { y } = record(30, 0.002, 1);
  const before = y.slice();
  arpls(y, 1e4);
  asls(y, 1e4);
  expect(y).toEqual(before);
});

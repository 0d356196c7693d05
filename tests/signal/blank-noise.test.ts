// The scatter of a sum over correlated noise is known in closed form, u² = h Γ h′ with Γ(k) = s²φᵏ for a first-order
// autoregression; the blanks are seeded draws of it.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { blankNoise } from "../../toolkit/signal/blank-noise.js";
import { blankReference } from "../../toolkit/signal/blank-reference.js";

const N = 3000;

/** Records of unit standard deviation, correlation φ from sample to sample. */
function blanks(count: number, phi: number, seed: number): Float64Array[] {
  const random = createRandom(seed);
  return Array.from({ length: count }, () => {
    const y = new Float64Array(N);
    y[0] = random.normal();
    for (let i = 1; i < N; i++) y[i] = phi * y[i - 1] + Math.sqrt(1 - phi * phi) * random.normal();
    return y;
  });
}

/** A sum over 60 samples less the mean of 40 on either side. */
const WEIGHTS = Float64Array.from({ length: 140 }, (_, i) => (i >= 40 && i < 100 ? 1 : -60 / 80));
const WINDOW = [40, 99] as const;

function trueScatter(phi: number): number {
  let sum = 0;
  for (let i = 0; i < WEIGHTS.length; i++) {
    for (let j = 0; j < WEIGHTS.length; j++) sum += WEIGHTS[i] * WEIGHTS[j] * phi ** Math.abs(i - j);
  }
  return Math.sqrt(sum);
}
const whiteScatter = Math.sqrt(WEIGHTS.reduce((sum, h) => sum + h * h, 0));
const everywhere = (records: readonly Float64Array[]) => records.map(() => new Uint8Array(N).fill(1));

describe.each([1, 2, 3])("seed %i", (seed) => {
  it("white blanks: the scatter of an area within 8 % (some 1000 slices: s.d. 2.5 %)", () => {
    const records = blanks(20, 0, seed);
    const noise = blankNoise(records, everywhere(records));
    expect(Math.abs(noise.scatterOf(WEIGHTS, WINDOW, N / 2, N) / whiteScatter - 1)).toBeLessThan(0.08);
    expect(noise.records).toBe(20);
  });

  it("correlated blanks: within 10 %, where the white figure is four times too small", () => {
    const records = blanks(20, 0.95, seed);
    const found = blankNoise(records, everywhere(records)).scatterOf(WEIGHTS, WINDOW, N / 2, N);
    expect(Math.abs(found / trueScatter(0.95) - 1)).toBeLessThan(0.1);
    expect(trueScatter(0.95) / whiteScatter).toBeCloseTo(4.0, 1);
    expect(found / whiteScatter).toBeGreaterThan(4 * 0.9);
  });

  it("what the subtracted mean of the same blanks took away is given back", () => {
    const records = blanks(6, 0, seed);
    const mean = Float64Array.from({ length: N }, (_, i) => records.reduce((sum, y) => sum + y[i], 0) / 6);
    const less = records.map((y) => y.map((value, i) => value - mean[i]));
    const at = (shrinkage: number) =>
      blankNoise(less, everywhere(less), shrinkage).scatterOf(WEIGHTS, WINDOW, N / 2, N);
    expect(at(5 / 6) / at(1)).toBeCloseTo(Math.sqrt(6 / 5), 12);
    expect(Math.abs(at(5 / 6) / whiteScatter - 1)).toBeLessThan(0.12);
  });

  it("a stretch that may not be used does not count", () => {
    const records = blanks(10, 0, seed);
    const usable = everywhere(records);
    const clean = blankNoise(records, usable).scatterOf(WEIGHTS, WINDOW, N / 2, N);
    const spoilt = records.map((y) => y.map((value, i) => (i > 1400 && i < 1500 ? value + 1e4 : value)));
    for (const mask of usable) mask.fill(0, 1401, 1500);
    const masked = blankNoise(spoilt, usable);
    // The flanks of a window may reach into the stretch, so the weights here end with the window.
    const own = WEIGHTS.slice(40, 100);
    const found = masked.scatterOf(own, [0, 59], N / 2, N);
    expect(Math.abs(found / Math.sqrt(60) - 1)).toBeLessThan(0.15);
    expect(clean).toBeGreaterThan(0);
  });
});

it("where the noise is not the same everywhere, the place counts", () => {
  const records = blanks(20, 0, 1).map((y) => y.map((value, i) => (i < N / 2 ? value : 5 * value)));
  const noise = blankNoise(records, everywhere(records));
  const [quiet, loud] = [700, 2300].map((near) => noise.scatterOf(WEIGHTS, WINDOW, near, 400));
  expect(Math.abs(loud / quiet / 5 - 1)).toBeLessThan(0.2);
});

describe("the blank reference", () => {
  const step = (i: number) => 1 / (1 + Math.exp(-(i - 1500) / 60));
  const records = blanks(5, 0, 1).map((y) => y.map((value, i) => step(i) + 0.01 * value));

  it("follows the programme within the noise", () => {
    const reference = blankReference(records, { peakWidth: 20 });
    for (let i = 50; i < N - 50; i++) expect(Math.abs(reference[i] - step(i))).toBeLessThan(0.01);
  });

  it("one contaminated blank of five does not matter, one of two does", () => {
    const dirty = records.map((y, k) =>
      k === 0 ? y.map((v, i) => v + 2 * Math.exp(-0.5 * ((i - 800) / 20) ** 2)) : y,
    );
    expect(Math.abs(blankReference(dirty, { peakWidth: 20 })[800] - step(800))).toBeLessThan(0.02);
    expect(Math.abs(blankReference(dirty.slice(0, 2), { peakWidth: 20 })[800] - step(800))).toBeGreaterThan(
      0.5,
    );
  });

  it("runs smoothly through a stretch where all blanks hold a real peak", () => {
    const all = records.map((y) => y.map((v, i) => v + 2 * Math.exp(-0.5 * ((i - 800) / 20) ** 2)));
    const reference = blankReference(all, { peakWidth: 20, masked: [[700, 900]] });
    expect(Math.abs(reference[800] - step(800))).toBeLessThan(0.02);
  });
});

// Seeded noise. Rate of false answers: S. O. Rice 1944 (from memory).
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { detectionThreshold, detectPeaks } from "../../toolkit/peaks/detection/detect.js";
import { findPeaks } from "../../toolkit/peaks/detection/find-peaks.js";
import {
  robustSpread,
  secondDerivativeFilter,
} from "../../toolkit/peaks/detection/second-derivative-filter.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";

const N = 6000;
const SIGMA = 10;
const widthAt = () => SIGMA;
const white = (seed: number) => {
  const random = createRandom(seed);
  return Float64Array.from({ length: N }, () => random.normal());
};
const bump =
  (at: number, height: number, sigma = SIGMA) =>
  (i: number) =>
    height * Math.exp(-0.5 * ((i - at) / sigma) ** 2);
const add = (y: Float64Array, f: (i: number) => number) => y.map((value, i) => value + f(i));

describe("200 records of white noise", () => {
  const records = Array.from({ length: 200 }, (_, k) => white(k + 1));
  const falseOnes = (falsePeaks: number) =>
    records.reduce((sum, y) => sum + detectPeaks(y, { widthAt, falsePeaks }).length, 0);

  it("0.05 false peaks a record: at most 21 in all (10 expected; a Poisson count exceeds 21 once in 1400)", () => {
    expect(falseOnes(0.05)).toBeLessThanOrEqual(21);
  });

  it("0.5 a record: between 50 and 133 (100 expected; scales that see the same ripple count once)", () => {
    const count = falseOnes(0.5);
    expect(count).toBeGreaterThanOrEqual(50);
    expect(count).toBeLessThanOrEqual(133);
  });
});

it("the threshold for 1800 s, s = 4 s and 0.05 false peaks is 3.93 spreads (worked example, derived)", () => {
  expect(detectionThreshold(1800, 4, 0.05)).toBeCloseTo(3.93, 2);
});

describe("the filter", () => {
  it("is blind to level and slope", () => {
    const y = white(1);
    const tilted = secondDerivativeFilter(
      add(y, (i) => 300 + 5 * i),
      SIGMA,
    );
    const plain = secondDerivativeFilter(y, SIGMA);
    for (let i = 100; i < N - 100; i++) expect(Math.abs(tilted[i] - plain[i])).toBeLessThan(1e-9);
  });

  it("makes of white noise √(3/(8√π s⁵)), which the robust spread finds within 6 % beside twelve peaks", () => {
    const expected = Math.sqrt(3 / (8 * Math.sqrt(Math.PI) * 5 ** 5));
    let y = white(1);
    for (let k = 1; k <= 12; k++) y = add(y, bump(450 * k, 500));
    expect(Math.abs(robustSpread(secondDerivativeFilter(white(1), 5), 5) / expected - 1)).toBeLessThan(0.06);
    expect(Math.abs(robustSpread(secondDerivativeFilter(y, 5), 5) / expected - 1)).toBeLessThan(0.06);
  });
});

describe.each([1, 2, 3])("seed %i", (seed) => {
  it("a slope does not change what is found", () => {
    const y = add(white(seed), bump(3000, 20));
    const plain = detectPeaks(y, { widthAt }).map((c) => c.index);
    const tilted = detectPeaks(
      add(y, (i) => 0.01 * i),
      { widthAt },
    ).map((c) => c.index);
    expect(plain.length).toBe(1);
    expect(tilted.length).toBe(1);
    expect(Math.abs(tilted[0] - plain[0])).toBeLessThanOrEqual(2);
  });

  it("fifty peaks of six times the noise are all found within a σ", () => {
    for (let k = 0; k < 50; k++) {
      const at = 500 + 100 * k;
      const found = detectPeaks(add(white(100 * seed + k), bump(at, 6)), { widthAt });
      expect(found.some((c) => Math.abs(c.index - at) <= SIGMA)).toBe(true);
    }
  });

  const peaksBesideDip = (depth: number) => {
    const signal = add(white(seed), bump(3000, -depth));
    const time = Float64Array.from({ length: N }, (_, i) => i / 300);
    const found = findPeaks(makeChromatogram({ id: "dip", time, signal }), {
      from: 0,
      peakWidth: SIGMA / 300,
    });
    return found.filter((p) => Math.abs(p.retentionTime - 10) < 0.5);
  };
  it("a dip of six times the noise is no peak, nor are its flanks", () => {
    expect(peaksBesideDip(6)).toEqual([]);
  });

  it("a dip of a hundred times the noise is no peak, nor are its flanks", () => {
    expect(peaksBesideDip(100)).toEqual([]);
  });

  it("a neighbour five σ before a 200 times larger peak is found", () => {
    const y = add(add(white(seed), bump(3000, 6000)), bump(2950, 30));
    const found = detectPeaks(y, { widthAt }).map((c) => c.index);
    expect(found.some((index) => Math.abs(index - 2950) <= SIGMA)).toBe(true);
    expect(found.some((index) => Math.abs(index - 3000) <= 2)).toBe(true);
  });
});

import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import {
  median,
  medianAbsoluteDeviation,
  medianInPlace,
  robustStandardDeviation,
} from "../../toolkit/numeric/robust.js";
import { autocorrelation, mean, standardDeviation } from "../../toolkit/numeric/summary.js";
import { digits, publishedCases, readReference } from "./reference.js";

describe("certified summaries", () => {
  /** NumAcc4 is 10000000.2 ± 0.1: stored as doubles its readings are off by 1e-9, its deviation by 1e-8 of itself. */
  const fewest: Record<string, number> = { strd_NumAcc4: 8 };

  const summaries = publishedCases("t03_univariate_anova_strd.json").filter(
    ({ expected }) => "mean" in expected,
  );
  test.each(summaries)("$id [$source; $provenance]", (of) => {
    const { y } = readReference<{ y: number[] }>(of.inputs.data_file as string);
    expect(digits(mean(y), of.expected.mean as number)).toBeGreaterThan(15);
    expect(digits(standardDeviation(y), of.expected.sd as number)).toBeGreaterThan(fewest[of.id] ?? 13);
    expect(digits(autocorrelation(y, 1), of.expected.lag1_autocorrelation as number)).toBeGreaterThan(
      fewest[of.id] ?? 13,
    );
  });
});

const values = fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: 2, maxLength: 60 });
const settings = { seed: 1, numRuns: 500 };

describe("mean and standard deviation", () => {
  test("move and scale with the values", () => {
    fc.assert(
      fc.property(values, (x) => {
        const moved = x.map((value) => 2 * value + 64);
        expect(Math.abs(mean(moved) - (2 * mean(x) + 64))).toBeLessThan(1e-9);
        expect(Math.abs(standardDeviation(moved) - 2 * standardDeviation(x))).toBeLessThan(1e-9);
      }),
      settings,
    );
  });

  test("autocorrelation is 1 at lag 0 and −(n − 1)/n at lag 1 of a zigzag", () => {
    const zigzag = Array.from({ length: 10 }, (_, i) => (-1) ** i);
    expect(autocorrelation(zigzag, 0)).toBe(1);
    expect(autocorrelation(zigzag, 1)).toBeCloseTo(-0.9, 15);
  });

  test.each([
    ["no value for a mean", "too-few-points", () => mean([])],
    ["one value for a standard deviation", "too-few-points", () => standardDeviation([1])],
    ["a lag as long as the series", "too-few-points", () => autocorrelation([1, 2, 3], 3)],
    ["half a lag", "out-of-domain", () => autocorrelation([1, 2, 3], 0.5)],
  ])("%s is refused", (_, code, call) => {
    expect(call).toThrowError(expect.objectContaining({ code }));
  });
});

describe("median and MAD", () => {
  const withTies = fc.array(fc.integer({ min: -5, max: 5 }), { minLength: 1, maxLength: 40 });

  test("the median is the middle of the sorted values, or the mean of the two middle ones, ties or not", () => {
    fc.assert(
      fc.property(fc.oneof(values, withTies), (x) => {
        const sorted = [...x].sort((a, b) => a - b);
        const half = sorted.length >> 1;
        const [low, high] =
          sorted.length % 2 === 1 ? [sorted[half], sorted[half]] : [sorted[half - 1], sorted[half]];
        const rounding = 1e-15 * Math.max(Math.abs(low), Math.abs(high)) + Number.MIN_VALUE;
        expect(Math.abs(median(x) - (low + high) / 2)).toBeLessThanOrEqual(rounding);
      }),
      settings,
    );
  });

  test("the worked example 1 1 2 2 4 6 9 has median 2 and MAD 1 (textbook example, from memory)", () => {
    expect(median([1, 1, 2, 2, 4, 6, 9])).toBe(2);
    expect(medianAbsoluteDeviation([1, 1, 2, 2, 4, 6, 9])).toBe(1);
  });

  test("sorted, reversed and constant records cost no more than others", () => {
    for (const make of [(i: number) => i, (i: number) => -i, () => 7, (i: number) => (i % 2 ? i : -i)]) {
      const record = Float64Array.from({ length: 200_001 }, (_, i) => make(i));
      const sorted = record.slice().sort();
      const begun = performance.now();
      expect(median(record)).toBe(sorted[100_000]);
      expect(performance.now() - begun).toBeLessThan(1000);
    }
  });

  test("the robust standard deviation is that of normal noise, and a tenth of wild values does not move it far", () => {
    for (const seed of [1, 2, 3]) {
      const noise = new Float64Array(100_000);
      createRandom(seed).fillNormal(noise);
      // Its own standard error is 1.17/√n·… ≈ 0.0037.
      expect(Math.abs(robustStandardDeviation(noise) - 1)).toBeLessThan(0.012);
      expect(robustStandardDeviation(noise.map((x, i) => (i % 10 === 0 ? 1e6 : x)))).toBeLessThan(1.25);
    }
  });

  test("inputs stay as they were; only the in-place form shuffles its scratch", () => {
    const record = Object.freeze([3, 1, 2]);
    median(record);
    robustStandardDeviation(record);
    expect(record).toEqual([3, 1, 2]);
    const scratch = Float64Array.of(3, 1, 2);
    expect(medianInPlace(scratch)).toBe(2);
    expect([...scratch].sort()).toEqual([1, 2, 3]);
  });

  test("no value and NaN are refused", () => {
    expect(() => median([])).toThrowError(expect.objectContaining({ code: "too-few-points" }));
    expect(() => median([1, Number.NaN])).toThrowError(expect.objectContaining({ code: "not-finite" }));
  });
});

import { describe, expect, test } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { empiricalIntervals } from "../../toolkit/uncertainty/empirical-interval.js";

/** The definition of JCGM 101, 7.7, on a full sort. */
function byDefinition(values: Float64Array, level: number) {
  const y = values.slice().sort();
  const M = y.length;
  const q = Math.round(level * M);
  const r = Math.ceil((M - q) / 2);
  let best = 0;
  for (let i = 1; i < M - q; i++) if (y[i + q] - y[i] < y[best + q] - y[best]) best = i;
  return {
    symmetric: { low: y[r - 1], high: y[r - 1 + q] },
    shortest: { low: y[best], high: y[best + q] },
  };
}

function skewed(count: number, seed: number): Float64Array {
  const random = createRandom(seed);
  return Float64Array.from({ length: count }, () => Math.exp(0.7 * random.normal()));
}

describe.each([1, 2, 3])("coverage intervals of trials, seed %i", (seed) => {
  test.each([
    [1_000, 0.95],
    [1_001, 0.9],
    [33_000, 0.95],
    [100_000, 0.95],
    [100_000, 0.99],
    [100_000, 0.9999],
    [100_000, 0.5],
    [100_000, 0.8],
  ])(
    "of %i values at level %d are those of the definition, though only the tails are sorted",
    (count, level) => {
      const values = skewed(count, seed);
      const before = values.slice();
      expect(empiricalIntervals(values, level)).toEqual(byDefinition(values, level));
      expect(values.every((y, i) => y === before[i])).toBe(true);
    },
  );
});

test("values in rising order mislead no guess of the tails", () => {
  const values = skewed(100_000, 1).sort();
  expect(empiricalIntervals(values, 0.95)).toEqual(byDefinition(values, 0.95));
});

test("a tail hidden from the sample is found by sorting everything", () => {
  // Every 12th value is looked at; those are made small, so the guess for the upper tail is far too low.
  const values = skewed(100_000, 2);
  for (let i = 0; i < values.length; i += 12) values[i] = 0.01;
  expect(empiricalIntervals(values, 0.95)).toEqual(byDefinition(values, 0.95));
});

test("equal values give an interval of no length", () => {
  const { symmetric, shortest } = empiricalIntervals(new Float64Array(100_000).fill(3), 0.95);
  expect([symmetric, shortest]).toEqual([
    { low: 3, high: 3 },
    { low: 3, high: 3 },
  ]);
});

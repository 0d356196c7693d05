// Invented records: seeded white noise.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { areaResponse, maskedBaseline } from "../../toolkit/signal/masked-baseline.js";
import { largestDifference } from "./dense-baseline.js";

const N = 600;
/** Stiff enough that all samples lie within twelve λ^(1/4) of the window. */
const LAMBDA = 25 ** 4;
const free = Uint8Array.from({ length: N }, (_, i) => (i >= 280 && i <= 330 ? 0 : 1));

describe.each([1, 2, 3])("seed %i", (seed) => {
  const random = createRandom(seed);
  const draw = () => Float64Array.from({ length: N }, () => random.normal());
  const [a, b] = [draw(), draw()];

  it("is linear in the signal to 1e-12", () => {
    const mixed = maskedBaseline(
      a.map((value, i) => 3 * value - 2 * b[i]),
      free,
      LAMBDA,
    ).values;
    const [za, zb] = [a, b].map((y) => maskedBaseline(y, free, LAMBDA).values);
    expect(
      largestDifference(
        mixed,
        za.map((value, i) => 3 * value - 2 * zb[i]),
      ),
    ).toBeLessThan(1e-12);
  });

  it("does not see what stands under the mask", () => {
    const peak = a.map((value, i) => (free[i] ? value : value + 1e3));
    expect(
      largestDifference(maskedBaseline(peak, free, LAMBDA).values, maskedBaseline(a, free, LAMBDA).values),
    ).toBeLessThan(1e-3);
  });

  it("an area's response to every sample, baseline included, is its numerical derivative to 1e-8", () => {
    const shares = Float64Array.from({ length: 51 }, (_, k) => 0.5 + k / 100);
    const area = (y: Float64Array) => {
      const z = maskedBaseline(y, free, LAMBDA).values;
      return shares.reduce((sum, share, k) => sum + share * (y[280 + k] - z[280 + k]), 0);
    };
    const response = areaResponse(maskedBaseline(a, free, LAMBDA), 280, shares);
    for (let i = 0; i < N; i += 7) {
      const [up, down] = [1, -1].map((sign) => area(a.map((value, j) => (j === i ? value + sign : value))));
      const expected = response.weights[i - response.first] ?? 0;
      expect(Math.abs((up - down) / 2 - expected)).toBeLessThan(1e-8);
    }
  });
});

it("what is left out further than twelve λ^(1/4) from the window is below 1e-4 of the largest share", () => {
  const long = new Float64Array(3000);
  const mask = new Uint8Array(3000).fill(1).fill(0, 1480, 1521);
  const shares = new Float64Array(41).fill(1);
  const response = areaResponse(maskedBaseline(long, mask, LAMBDA), 1480, shares);
  expect(response.first).toBe(1480 - 12 * 25);
  const outside = response.first - 1;
  const impulse = long.map((_, i) => (i === outside ? 1 : 0));
  const z = maskedBaseline(impulse, mask, LAMBDA).values;
  const missed = shares.reduce((sum, share, k) => sum - share * z[1480 + k], 0);
  expect(Math.abs(missed)).toBeLessThan(1e-4);
});

it("a straight line passes through the mask to 1e-9", () => {
  const line = Float64Array.from({ length: N }, (_, i) => 2 + 0.01 * i);
  expect(largestDifference(maskedBaseline(line, free, LAMBDA).values, line)).toBeLessThan(1e-9);
});

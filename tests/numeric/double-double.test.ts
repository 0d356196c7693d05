import fc from "fast-check";
import { expect, test } from "vitest";
import {
  add,
  type DoubleDouble,
  divide,
  doubled,
  multiply,
  squareRoot,
  subtract,
} from "../../toolkit/numeric/double-double.js";
import { productError, sumError } from "../../toolkit/numeric/exact-product.js";

const whole = fc.integer({ min: -(2 ** 52), max: 2 ** 52 });
const settings = { seed: 1, numRuns: 1000 };
const exactly = (a: DoubleDouble) => BigInt(a.high) + BigInt(a.low);

test("what a product or sum loses in rounding is found exactly", () => {
  fc.assert(
    fc.property(whole, whole, (a, b) => {
      expect(BigInt(a * b) + BigInt(productError(a, b, a * b))).toBe(BigInt(a) * BigInt(b));
      const large = a * 1024;
      expect(BigInt(large + b) + BigInt(sumError(large, b, large + b))).toBe(BigInt(large) + BigInt(b));
    }),
    settings,
  );
});

test("whole numbers of 31 digits are added, taken away and multiplied exactly", () => {
  fc.assert(
    fc.property(whole, whole, whole, (a, b, c) => {
      const product = multiply(doubled(a), doubled(b));
      expect(exactly(product)).toBe(BigInt(a) * BigInt(b));
      expect(exactly(subtract(add(product, doubled(c)), product))).toBe(BigInt(c));
    }),
    settings,
  );
});

test("a quotient times its divisor, and a root squared, come back to 30 digits", () => {
  fc.assert(
    fc.property(whole, whole, (a, b) => {
      fc.pre(a !== 0 && b !== 0);
      const there = multiply(divide(doubled(a), doubled(b)), doubled(b));
      expect(Math.abs(subtract(there, doubled(a)).high)).toBeLessThanOrEqual(1e-30 * Math.abs(a));
      const root = squareRoot(doubled(Math.abs(a)));
      expect(Math.abs(subtract(multiply(root, root), doubled(Math.abs(a))).high)).toBeLessThanOrEqual(
        1e-30 * Math.abs(a),
      );
    }),
    settings,
  );
});

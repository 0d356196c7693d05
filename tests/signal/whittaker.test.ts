// Published cases: tests/reference/t12_whittaker.json; source and provenance in the titles.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { createWhittakerSolver } from "../../toolkit/numeric/whittaker.js";
import { allowance, originOf, publishedCase } from "../numeric/reference.js";
import { denseWhittaker, largestDifference } from "./dense-baseline.js";

function solve(y: Float64Array, w: Float64Array, lambda: number): Float64Array {
  const out = new Float64Array(y.length);
  createWhittakerSolver(y.length).solveInto(out, y, w, lambda);
  return out;
}

describe.each(["whittaker_impulse", "whittaker_line"])("%s", (id) => {
  const published = publishedCase("t12_whittaker.json", id);
  it(`is solved to the published digits (${originOf(published)})`, () => {
    const { y, w, lambda } = published.inputs as {
      readonly y: number[];
      readonly w: number[];
      readonly lambda: number;
    };
    const wanted = published.expected.z as readonly number[];
    const z = solve(Float64Array.from(y), Float64Array.from(w), lambda);
    wanted.forEach((value, i) => {
      expect(Math.abs(z[i] - value)).toBeLessThanOrEqual(allowance(published, "z", value));
    });
  });
});

describe.each([1, 2, 3])("random records, seed %i", (seed) => {
  const random = createRandom(seed);
  const y = Float64Array.from({ length: 150 }, () => random.normal());
  const w = Float64Array.from({ length: 150 }, () => random.uniform());

  it.each([1, 1e2, 1e4, 1e6])("λ = %d: the elimination agrees with dense algebra to 1e-9", (lambda) => {
    expect(largestDifference(solve(y, w, lambda), denseWhittaker(y, w, lambda))).toBeLessThan(1e-9);
  });

  it.each([1e4, 1e8, 1e12])(
    "λ = %d: a straight line is its own solution, to 1e-6 at its end of 23",
    (lambda) => {
      const line = Float64Array.from({ length: 2000 }, (_, i) => 3 + 0.01 * i);
      const weights = line.map(() => random.uniform());
      expect(largestDifference(solve(line, weights, lambda), line)).toBeLessThan(1e-6);
    },
  );

  it("a stretch without weight is bridged as dense algebra bridges it", () => {
    const gap = w.map((value, i) => (i > 50 && i < 90 ? 0 : value));
    expect(largestDifference(solve(y, gap, 1e3), denseWhittaker(y, gap, 1e3))).toBeLessThan(1e-9);
  });
});

describe.each([3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 31])("a record of %i points", (n) => {
  it.each([1e-3, 1, 1e3])(
    "is solved as dense algebra solves it, λ = %d: both ends meet in the middle",
    (lambda) => {
      const random = createRandom(n);
      const y = Float64Array.from({ length: n }, () => random.normal());
      const w = Float64Array.from({ length: n }, () => random.uniform());
      expect(largestDifference(solve(y, w, lambda), denseWhittaker(y, w, lambda))).toBeLessThan(1e-10);
    },
  );
});

it.each([0, 1, 2])("%i points have no second difference: refused", (n) => {
  expect(() => createWhittakerSolver(n)).toThrow(RangeError);
});

it("one solver serves record after record: nothing stays behind", () => {
  const solver = createWhittakerSolver(50);
  const random = createRandom(1);
  const y = Float64Array.from({ length: 50 }, () => random.normal());
  const ones = new Float64Array(50).fill(1);
  const [first, second, again] = [0, 1, 2].map(() => new Float64Array(50));
  solver.solveInto(first, y, ones, 100);
  solver.solveInto(
    second,
    y.map((v) => -3 * v),
    ones,
    1,
  );
  solver.solveInto(again, y, ones, 100);
  expect(again).toEqual(first);
  expect(second).not.toEqual(first);
});

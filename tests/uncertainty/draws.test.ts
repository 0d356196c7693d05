import { describe, expect, test } from "vitest";
import { studentCdf } from "../../toolkit/numeric/distributions.js";
import { normalCdf } from "../../toolkit/numeric/special-functions.js";
import { BLOCK, Draws } from "../../toolkit/uncertainty/draws.js";
import type { SourceShape } from "../../toolkit/uncertainty/source.js";

const COUNT = 20 * BLOCK;

function drawn(fill: (draws: Draws, out: Float64Array) => void, seed: number): Float64Array {
  const draws = new Draws(seed);
  const all = new Float64Array(COUNT);
  for (let first = 0; first < COUNT; first += BLOCK) fill(draws, all.subarray(first, first + BLOCK));
  return all;
}

/** √n times the largest gap between the drawn and the true distribution function (Kolmogorov and Smirnov). */
function kolmogorov(values: Float64Array, distribution: (x: number) => number): number {
  const sorted = values.slice().sort();
  let gap = 0;
  sorted.forEach((x, i) => {
    const f = distribution(x);
    gap = Math.max(gap, f - i / COUNT, (i + 1) / COUNT - f);
  });
  return gap * Math.sqrt(COUNT);
}

/** Exceeded once in about 3000 samples of the true distribution. */
const CRITICAL = 2.1;

const clamp = (x: number) => Math.min(1, Math.max(0, x));
const shapes: [SourceShape, (z: number) => number][] = [
  [{ kind: "normal" }, normalCdf],
  [{ kind: "rectangular" }, (z) => clamp(0.5 + z / Math.sqrt(12))],
  [
    { kind: "triangular" },
    (z) => {
      const tail = (1 - Math.min(1, Math.abs(z) / Math.sqrt(6))) ** 2 / 2;
      return z < 0 ? tail : 1 - tail;
    },
  ],
  [{ kind: "arcsine" }, (z) => 0.5 + Math.asin(Math.max(-1, Math.min(1, z / Math.SQRT2))) / Math.PI],
  [
    { kind: "trapezoidal", topRatio: 0.5 },
    (z) => {
      // Base half-width a = √(6/1.25), flat to a/2, density 1/(1.5 a) there.
      const x = Math.abs(z) / Math.sqrt(6 / 1.25);
      const beyond = x < 0.5 ? 0.5 - x / 1.5 : (1 - Math.min(1, x)) ** 2 / 1.5;
      return z < 0 ? beyond : 1 - beyond;
    },
  ],
];

describe.each([1, 2, 3])("draws of seed %i", (seed) => {
  test.each(shapes)("follow their distribution: %o", (shape, distribution) => {
    const values = drawn((draws, out) => draws.fillShape(shape, out, out.length), seed);
    expect(kolmogorov(values, distribution)).toBeLessThan(CRITICAL);
  });

  test.each([1, 1.5, 2, 3, 6, 25.6])(
    "of t with %d degrees of freedom follow Student's distribution",
    (dof) => {
      const factor = new Float64Array(BLOCK);
      const values = drawn((draws, out) => {
        draws.fillNormal(out, out.length);
        draws.fillStudentFactor(dof, factor, out.length);
        for (let i = 0; i < out.length; i++) out[i] *= factor[i];
      }, seed);
      expect(kolmogorov(values, (t) => studentCdf(t, dof))).toBeLessThan(CRITICAL);
    },
  );

  test("of the curvilinear trapezoid have u = 1 and the fourth moment of its definition", () => {
    const d = 0.5;
    const values = drawn(
      (draws, out) => draws.fillShape({ kind: "curvilinear-trapezoid", inexactness: d }, out, out.length),
      seed,
    );
    const moment = (k: number) => values.reduce((sum, x) => sum + x ** k, 0) / COUNT;
    const variance = 1 / 3 + d ** 2 / 9;
    // E[h⁴]/5 for a half-width h rectangular on 1 ± d.
    const fourth = (1 + 2 * d ** 2 + d ** 4 / 5) / 5 / variance ** 2;
    expect(Math.abs(moment(2) - 1)).toBeLessThan(0.02);
    expect(Math.abs(moment(4) / fourth - 1)).toBeLessThan(0.05);
    const reach = (1 + d) / Math.sqrt(variance);
    expect(Math.max(...values)).toBeLessThanOrEqual(reach);
  });

  test("of neighbouring trials are independent, in size and in square", () => {
    const z = drawn((draws, out) => draws.fillNormal(out, out.length), seed);
    for (const lag of [1, 2, 4, BLOCK]) {
      let [plain, squared] = [0, 0];
      for (let i = lag; i < COUNT; i++) {
        plain += z[i] * z[i - lag];
        squared += (z[i] ** 2 - 1) * (z[i - lag] ** 2 - 1);
      }
      expect(Math.abs(plain) / Math.sqrt(COUNT), `lag ${lag}`).toBeLessThan(4);
      expect(Math.abs(squared) / (2 * Math.sqrt(COUNT)), `squares, lag ${lag}`).toBeLessThan(4);
    }
  });
});

test("normal draws reach beyond the ziggurat's tail start as often as they should", () => {
  const draws = new Draws(1);
  const block = new Float64Array(BLOCK);
  let [beyond, count] = [0, 0];
  for (let k = 0; k < 1500; k++) {
    draws.fillNormal(block, BLOCK);
    for (const z of block) if (Math.abs(z) > 3.654152885361009) beyond++;
    count += BLOCK;
  }
  const expected = count * 2 * normalCdf(-3.654152885361009);
  expect(Math.abs(beyond - expected)).toBeLessThan(4 * Math.sqrt(expected));
});

import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { readingGrowth } from "../../toolkit/calibration/curve/reading-growth.js";
import { responseModel } from "../../toolkit/calibration/response/response-models.js";
import { expectedScatter } from "../../toolkit/calibration/weights/expected-scatter.js";
import { statedScatter } from "../../toolkit/calibration/weights/stated-scatter.js";
import { scatterTable } from "../../toolkit/calibration/weights/variance-function.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { normalCdf } from "../../toolkit/numeric/special-functions.js";

// Laws of scatter and what follows from them; the data are invented.
describe("scatter stated at far levels", () => {
  const levels = [0.02, 0.5, 20];
  const between = [0.02, 0.1, 0.3, 2, 9, 20];

  it.each([
    ["even", () => 0.04],
    ["as the response", (y: number) => 0.3 * y],
    ["in proportion", (y: number) => (0.02 * y) ** 2],
    ["a floor and a share", (y: number) => 0.01 ** 2 + (0.02 * y) ** 2],
    ["a standard deviation that rises in a line", (y: number) => (0.01 + 0.02 * y) ** 2],
  ])("%s is known between them, though they lie a factor of forty apart", (_, law) => {
    const found = statedScatter(levels, levels.map(law));
    for (const y of between) expect(found(y) / law(y)).toBeCloseTo(1, 3);
    expect(found(30) / law(30)).toBeCloseTo(1, 3);
    expect(found(0.001)).toBeCloseTo(law(0.02), 12);
  });

  it("of any other law is the stated one at every level and between its neighbours elsewhere", () => {
    const stated = [0.5, 0.2, 3];
    const found = statedScatter(levels, stated);
    levels.forEach((y, j) => {
      expect(found(y)).toBeCloseTo(stated[j], 9);
    });
    expect(found(0.2)).toBeGreaterThan(0.2);
    expect(found(0.2)).toBeLessThan(0.5);
  });
});

describe("the scatter to expect from replicates", () => {
  it("of two levels is each level's own, with its own degrees of freedom", () => {
    const levels = [
      { response: 1, variance: 0.3, dof: 4 },
      { response: 10, variance: 2, dof: 7 },
    ];
    const found = expectedScatter(scatterTable(levels), 11);
    for (const { response, variance, dof } of levels) {
      expect(found.dof(response)).toBe(dof);
      expect(found.variance(response) / variance).toBeCloseTo(1, 4);
    }
    // Between them v is a sum of two variances, known better than either.
    expect(found.dof(4)).toBeGreaterThan(7);
  });

  it.each([1, 2, 3])("is the true one in the mean for even and proportional scatter (seed %i)", (seed) => {
    const random = createRandom(seed);
    const responses = [0.1, 0.3, 1, 3, 10];
    const places = [0.1, 0.7, 10];
    for (const law of [() => 1, (y: number) => y * y]) {
      const sums = [0, 0, 0];
      for (let trial = 0; trial < 800; trial++) {
        const levels = responses.map((response) => {
          let squares = 0;
          for (let i = 0; i < 6; i++) squares += random.normal() ** 2;
          return { response, variance: (law(response) * squares) / 6, dof: 6 };
        });
        const found = expectedScatter(scatterTable(levels), 30);
        places.forEach((y, k) => {
          sums[k] += found.variance(y) / law(y) / 800;
        });
      }
      // 0.02 is the standard error of such a mean at an end, whose level alone tells its scatter.
      for (const mean of sums) expect(Math.abs(mean - 1)).toBeLessThan(0.09);
    }
  });
});

describe("a reading whose scatter changes within itself", () => {
  const line = responseModel("linear");
  const b = Float64Array.of(0, 1);
  const growth = (q: number) => readingGrowth(line, b, 1, (y) => 0.1 + q * (y - 1));

  it("lies from the truth as the posterior says, integrated", () => {
    for (const q of [0.01, 0.02, 0.04]) {
      let weight = 0;
      let squares = 0;
      for (let t = -8; t <= 8; t += 0.001) {
        const s = 1 + q * t;
        const p = Math.exp((-t * t) / (2 * s * s)) / s;
        weight += p;
        squares += p * t * t;
      }
      const exact = squares / weight - 1;
      expect((growth(q) ** 2 - 1) / exact).toBeGreaterThan(0.97);
      expect((growth(q) ** 2 - 1) / exact).toBeLessThan(1.001);
    }
  });

  it("holds 94 to 96 % up to q = 0.3, where first order falls to 89 %", () => {
    // |t| ≤ k(1 + qt), t standard normal.
    const held = (k: number, q: number) =>
      (k * q < 1 ? normalCdf(k / (1 - k * q)) : 1) - normalCdf(-k / (1 + k * q));
    for (const q of [0, 0.02, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3]) {
      expect(held(1.96 * growth(q), q)).toBeGreaterThan(0.94);
      expect(held(1.96 * growth(q), q)).toBeLessThan(0.96);
    }
    expect(held(1.96, 0.15)).toBeLessThan(0.935);
    expect(held(1.96, 0.3)).toBeLessThan(0.9);
  });
});

describe("a variance function that its replicates do not bear out", () => {
  const codesOf = (levels: readonly number[], times: number, law: (y: number) => number) => {
    const random = createRandom(1);
    const points = levels.flatMap((concentration) =>
      Array.from({ length: times }, () => ({
        concentration,
        response: concentration + law(concentration) * random.normal(),
      })),
    );
    return calibrate(points, { weighting: "variance-function" }).warnings.map(({ code }) => code);
  };
  const wide = [0.05, 0.2, 1, 4, 20];

  it("is named where the scatter grows as the root, and not where it has a floor and a share", () => {
    expect(codesOf(wide, 20, (y) => 0.02 * Math.sqrt(y))).toContain("scatter-form");
    expect(codesOf(wide, 20, (y) => Math.hypot(0.002, 0.01 * y))).toEqual([]);
  });

  it("is named where an end level was injected too seldom, with how much wider that makes the intervals", () => {
    expect(codesOf(wide, 3, (y) => 0.01 * y)).toContain("thin-scatter");
    expect(codesOf(wide, 6, (y) => 0.01 * y)).toEqual([]);
  });
});

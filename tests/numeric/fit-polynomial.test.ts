import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { fitPolynomial } from "../../toolkit/numeric/fit-polynomial.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import {
  allowance,
  digits,
  fewestDigits,
  originOf,
  publishedCase,
  publishedCases,
  readReference,
} from "./reference.js";

describe("certified polynomials", () => {
  test.each(publishedCases("t01_linear_least_squares_strd.json"))(
    "$id to 13 digits in coefficients and standard errors [$source; $provenance]",
    (of) => {
      const { x, y } = readReference<{ x: number[]; y: number[] }>(of.inputs.data_file as string);
      const certified = of.expected.B as number[];
      const throughZero = of.id === "strd_NoInt1";
      const fit = fitPolynomial(x, y, certified.length - (throughZero ? 0 : 1), { throughZero });
      const part = (values: readonly number[]) => values.slice(throughZero ? 1 : 0);
      expect(fewestDigits(part(fit.coefficients), certified)).toBeGreaterThan(13);
      expect(fewestDigits(part(fit.standardErrors), of.expected.sd_B as number[])).toBeGreaterThan(13);
      expect(digits(fit.residualStandardDeviation, of.expected.residual_sd as number)).toBeGreaterThan(13);
      expect(digits(fit.rSquared, of.expected.r_squared as number)).toBeGreaterThan(14);
      expect(fit.dof).toBe(of.expected.df);
      if (throughZero)
        expect([fit.coefficients[0], fit.standardErrors[0], ...fit.covariance[0]]).toEqual([0, 0, 0, 0]);
    },
  );
});

describe("a textbook line that falls", () => {
  const steam = publishedCase("t04_calibration.json", "draper_smith_steam");
  test(`steam used against temperature [${originOf(steam)}]`, () => {
    const { x, y } = steam.inputs as Record<string, number[]>;
    const line = fitPolynomial(x, y, 1);
    const own: Record<string, number> = {
      slope: line.coefficients[1],
      intercept: line.coefficients[0],
      s2: line.residualStandardDeviation ** 2,
      se_slope: line.standardErrors[1],
      F: (line.coefficients[1] / line.standardErrors[1]) ** 2,
      r2: line.rSquared,
    };
    for (const [key, value] of Object.entries(own)) {
      const expected = steam.expected[key] as number;
      expect(Math.abs(value - expected), key).toBeLessThanOrEqual(allowance(steam, key, expected));
    }
  });
});

describe("weights", () => {
  const known = publishedCase("t04_calibration.json", "iso28037_wls_equal");
  test(`known standard deviations give standard errors that the scatter does not touch [${originOf(known)}]`, () => {
    const { x, y, u_y } = known.inputs as Record<string, number[]>;
    const fit = fitPolynomial(x, y, 1, { standardDeviations: u_y });
    const own: Record<string, number> = {
      intercept: fit.coefficients[0],
      slope: fit.coefficients[1],
      u_intercept: fit.standardErrors[0],
      u_slope: fit.standardErrors[1],
      cov: fit.covariance[0][1],
      chi2_obs: fit.residualSumOfSquares,
    };
    for (const [key, value] of Object.entries(own)) {
      const expected = known.expected[key] as number;
      expect(Math.abs(value - expected)).toBeLessThanOrEqual(allowance(known, key, expected));
    }
  });

  const scaled = publishedCase("t04_calibration.json", "weighted_line_scaled_se");
  test(`relative ones are scaled by the scatter about the line [${originOf(scaled)}]`, () => {
    const { x, y, u_y } = scaled.inputs as Record<string, number[]>;
    const expected = scaled.expected as { se_scaled: number[]; se_unscaled: number[]; cov_scaled: number };
    const believed = fitPolynomial(x, y, 1, { standardDeviations: u_y });
    const relative = fitPolynomial(x, y, 1, { standardDeviations: u_y, standardDeviationsAre: "relative" });
    expected.se_unscaled.forEach((e, k) => {
      expect(Math.abs(believed.standardErrors[k] - e)).toBeLessThanOrEqual(
        allowance(scaled, "se_unscaled", e),
      );
    });
    expected.se_scaled.forEach((e, k) => {
      expect(Math.abs(relative.standardErrors[k] - e)).toBeLessThanOrEqual(allowance(scaled, "se_scaled", e));
    });
    expect(Math.abs(relative.covariance[0][1] - expected.cov_scaled)).toBeLessThanOrEqual(
      allowance(scaled, "cov_scaled", expected.cov_scaled),
    );
  });

  const quadratic = publishedCase("t04_calibration.json", "weighted_calibration_quadratic_unweighted");
  test(`a parabola by exact fractions [${originOf(quadratic)}]`, () => {
    const { x, y } = quadratic.inputs as Record<string, number[]>;
    const fit = fitPolynomial(x, y, 2);
    expect(fewestDigits(fit.coefficients, quadratic.expected.coefficients as number[])).toBeGreaterThan(12);
    expect(fewestDigits(fit.standardErrors, quadratic.expected.se as number[])).toBeGreaterThan(12);
  });

  test("half the standard deviation counts as a point measured four times", () => {
    const x = [1, 2, 3, 4, 5];
    const y = [1.1, 3.9, 9.2, 15.8, 25.3];
    const precise = fitPolynomial(x, y, 2, { standardDeviations: [1, 1, 0.5, 1, 1] });
    const repeated = fitPolynomial([...x, 3, 3, 3], [...y, 9.2, 9.2, 9.2], 2, {
      standardDeviations: new Array(8).fill(1),
    });
    expect(fewestDigits(precise.coefficients, repeated.coefficients)).toBeGreaterThan(14);
    expect(fewestDigits(precise.standardErrors, repeated.standardErrors)).toBeGreaterThan(14);
  });
});

describe("laws", () => {
  const coefficient = fc.integer({ min: -1000, max: 1000 }).map((k) => k / 8);

  test("points on a polynomial give its coefficients back, and no scatter", () => {
    fc.assert(
      fc.property(
        fc.array(coefficient, { minLength: 1, maxLength: 6 }),
        fc.boolean(),
        (truth, throughZero) => {
          const b = throughZero ? [0, ...truth] : truth;
          const x = Array.from({ length: b.length + 3 }, (_, i) => i - 2.5);
          const y = x.map((value) => b.reduceRight((sum, each) => sum * value + each, 0));
          const fit = fitPolynomial(x, y, b.length - 1, { throughZero });
          const size = Math.max(...y.map(Math.abs), 1e-300);
          b.forEach((each, k) => {
            expect(Math.abs(fit.coefficients[k] - each)).toBeLessThan(1e-14 * size);
          });
          expect(fit.residualStandardDeviation).toBeLessThan(1e-14 * size);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });

  test("a shift of x by a million moves the line, not the scatter nor the slope's error", () => {
    const x = [1, 2, 4, 7, 9];
    const y = [0.2, 0.39, 0.83, 1.41, 1.8];
    const here = fitPolynomial(x, y, 1);
    const there = fitPolynomial(
      x.map((value) => value + 1e6),
      y,
      1,
    );
    expect(digits(there.coefficients[1], here.coefficients[1])).toBeGreaterThan(13);
    expect(digits(there.standardErrors[1], here.standardErrors[1])).toBeGreaterThan(13);
    expect(digits(there.residualStandardDeviation, here.residualStandardDeviation)).toBeGreaterThan(13);
    expect(digits(there.coefficients[0], here.coefficients[0] - 1e6 * here.coefficients[1])).toBeGreaterThan(
      13,
    );
  });

  test("the stated 95 % interval of a slope holds it in 95 % of simulated lines, within three standard errors", () => {
    const random = createRandom(1);
    const x = [0, 1, 2, 3, 4, 5, 6, 7];
    const runs = 4000;
    let held = 0;
    for (let i = 0; i < runs; i++) {
      const fit = fitPolynomial(
        x,
        x.map((value) => 1 + 0.5 * value + 0.1 * random.normal()),
        1,
      );
      // t at 97.5 % with 6 degrees of freedom.
      if (Math.abs(fit.coefficients[1] - 0.5) <= 2.4469118487916806 * fit.standardErrors[1]) held++;
    }
    expect(Math.abs(held / runs - 0.95)).toBeLessThan(3 * Math.sqrt((0.95 * 0.05) / runs));
  });

  test("a curve through as many points as coefficients has no scatter to tell errors from", () => {
    const fit = fitPolynomial([1, 2], [3, 5], 1);
    expect(fit.coefficients).toEqual([1, 2]);
    expect(fit.dof).toBe(0);
    expect(fit.residualStandardDeviation).toBeNaN();
    expect(fitPolynomial([1, 2], [3, 5], 1, { standardDeviations: [1, 1] }).standardErrors[1]).toBeCloseTo(
      Math.SQRT2,
      14,
    );
  });
});

test.each([
  ["a y missing", "unequal-lengths", () => fitPolynomial([1, 2, 3], [1, 2], 1)],
  [
    "a standard deviation missing",
    "unequal-lengths",
    () => fitPolynomial([1, 2], [1, 2], 1, { standardDeviations: [1] }),
  ],
  ["a y that is NaN", "not-finite", () => fitPolynomial([1, 2, 3], [1, Number.NaN, 3], 1)],
  ["a degree of one and a half", "out-of-domain", () => fitPolynomial([1, 2, 3], [1, 2, 3], 1.5)],
  ["degree 0 through zero", "out-of-domain", () => fitPolynomial([1, 2], [1, 2], 0, { throughZero: true })],
  [
    "a standard deviation of 0",
    "out-of-domain",
    () => fitPolynomial([1, 2], [1, 2], 1, { standardDeviations: [1, 0] }),
  ],
  ["two levels for a parabola", "too-few-points", () => fitPolynomial([1, 1, 2, 2], [1, 2, 3, 4], 2)],
  [
    "only zeros through zero",
    "too-few-points",
    () => fitPolynomial([0, 0], [1, 2], 1, { throughZero: true }),
  ],
  [
    "two x that are one to 19 digits of the third",
    "dependent-columns",
    () => fitPolynomial([0, 1e-20, 1], [1, 2, 3], 2),
  ],
])("%s is refused", (_, code, call) => {
  expect(call).toThrowError(expect.objectContaining({ code }));
});

import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  chiSquaredQuantile,
  chiSquaredUpperTail,
  fisherQuantile,
  fisherUpperTail,
  noncentralStudentCdf,
  noncentralStudentQuantile,
  studentCdf,
  studentQuantile,
} from "../../toolkit/numeric/distributions.js";
import { logGamma, normalCdf, normalPdf, normalQuantile } from "../../toolkit/numeric/special-functions.js";
import { allowance, originOf, publishedCase } from "./reference.js";

const FILE = "t12_distributions_signal.json";
const relative = (value: number, expected: number) => Math.abs(value / expected - 1);
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const settings = { seed: 1, numRuns: 300 };
/** Probabilities on a scale that reaches far into the lower tail. */
const probability = between(-12, -0.01).map((power) => 10 ** power);
const dof = between(-0.3, 6).map((power) => 10 ** power);

describe("published tables", () => {
  const student = publishedCase(FILE, "student_t_quantiles_a");
  test(`Student's t [${originOf(student)}]`, () => {
    for (const [row, quantiles] of Object.entries(student.expected as Record<string, number[]>)) {
      quantiles.forEach((expected, i) => {
        const t = studentQuantile((student.inputs.p as number[])[i], Number(row));
        expect(Math.abs(t - expected)).toBeLessThanOrEqual(allowance(student, row, expected));
      });
    }
  });

  const fisher = publishedCase(FILE, "f_quantiles_a");
  test(`Fisher's F [${originOf(fisher)}]`, () => {
    (fisher.expected.F as number[]).forEach((expected, i) => {
      const [numerator, denominator] = (fisher.inputs.df as number[][])[i];
      const f = fisherQuantile(fisher.inputs.p as number, numerator, denominator);
      expect(Math.abs(f - expected)).toBeLessThanOrEqual(allowance(fisher, "F", expected));
    });
  });

  const chiSquared = publishedCase(FILE, "chi2_quantiles_a");
  test(`chi-squared [${originOf(chiSquared)}]`, () => {
    for (const [row, quantiles] of Object.entries(chiSquared.expected as Record<string, number[]>)) {
      quantiles.forEach((expected, i) => {
        const x = chiSquaredQuantile((chiSquared.inputs.p as number[])[i], Number(row));
        expect(Math.abs(x - expected)).toBeLessThanOrEqual(allowance(chiSquared, row, expected));
      });
    }
  });

  const precise = publishedCase(FILE, "cdf_high_precision_a");
  test(`probabilities in double precision, tails included [${originOf(precise)}]`, () => {
    const cdf: Record<string, (x: number, first: number, second: number) => number> = {
      t: (x, first) => studentCdf(x, first),
      f: (x, first, second) => 1 - fisherUpperTail(x, first, second),
      chi2: (x, first) => 1 - chiSquaredUpperTail(x, first),
      normal: (x) => normalCdf(x),
    };
    (precise.expected.cdf as number[]).forEach((expected, i) => {
      const [x, first, second] = (precise.inputs.args as number[][])[i];
      const own = cdf[(precise.inputs.dist as string[])[i]](x, first, second);
      expect(Math.abs(own - expected)).toBeLessThanOrEqual(allowance(precise, "cdf", expected));
    });
  });
});

describe("laws", () => {
  test("Student's t with 1 and 2 degrees of freedom has its closed forms (NIST e-Handbook §1.3.6.6.4; Cauchy)", () => {
    fc.assert(
      fc.property(probability, (p) => {
        expect(relative(studentQuantile(p, 1), -1 / Math.tan(Math.PI * p))).toBeLessThan(2e-13);
        expect(relative(studentQuantile(p, 2), (2 * p - 1) / Math.sqrt(2 * p * (1 - p)))).toBeLessThan(2e-13);
      }),
      settings,
    );
  });

  test("t quantiles are odd about one half and undo the distribution function at any degrees of freedom", () => {
    fc.assert(
      fc.property(probability, dof, (p, nu) => {
        const t = studentQuantile(p, nu);
        expect(relative(studentCdf(t, nu), p)).toBeLessThan(1e-12);
        expect(studentCdf(-t, nu)).toBeCloseTo(1 - p, 14);
      }),
      settings,
    );
  });

  test("t goes over into the normal distribution as fast as theory says: t ≈ z + (z³ + z)/4ν (Abramowitz and Stegun 26.7.5)", () => {
    for (const p of [0.6, 0.975, 0.9995]) {
      const z = normalQuantile(p);
      for (const nu of [1e5, 1e7, 1e9, 1e12, 1e18]) {
        const second = (5 * z ** 5 + 16 * z ** 3 + 3 * z) / (96 * nu ** 2);
        expect(relative(studentQuantile(p, nu), z + (z ** 3 + z) / (4 * nu) + second)).toBeLessThan(1e-13);
      }
      expect(studentQuantile(p, Infinity)).toBe(z);
    }
  });

  test("t² follows F with 1 and ν degrees of freedom", () => {
    fc.assert(
      fc.property(between(0.01, 30), dof, (t, nu) => {
        expect(relative(fisherUpperTail(t * t, 1, nu), 2 * studentCdf(-t, nu))).toBeLessThan(1e-12);
      }),
      settings,
    );
  });

  test("F turns over: its lower tail is the upper tail of 1/F with the degrees of freedom exchanged", () => {
    fc.assert(
      fc.property(between(-2, 2), dof, dof, (power, first, second) => {
        const f = 10 ** power;
        const sum = fisherUpperTail(f, first, second) + fisherUpperTail(1 / f, second, first);
        expect(Math.abs(sum - 1)).toBeLessThan(1e-11);
      }),
      settings,
    );
  });

  test("F with infinite ν₂ is chi-squared over ν₁, and with a huge ν₂ nearly so", () => {
    for (const nu of [1, 3.5, 20]) {
      expect(fisherQuantile(0.95, nu, Infinity)).toBe(chiSquaredQuantile(0.95, nu) / nu);
      expect(relative(fisherQuantile(0.95, nu, 1e12), fisherQuantile(0.95, nu, Infinity))).toBeLessThan(
        1e-11,
      );
    }
  });

  test("F and chi-squared quantiles undo their distributions", () => {
    fc.assert(
      fc.property(probability, dof, dof, (p, first, second) => {
        fc.pre(first < 1e4 && second < 1e4);
        expect(
          relative(fisherUpperTail(1 / fisherQuantile(p, first, second), second, first), p),
        ).toBeLessThan(1e-10);
        expect(relative(chiSquaredUpperTail(chiSquaredQuantile(1 - p, first), first), p)).toBeLessThan(
          1e-12 + 3e-16 / p,
        );
      }),
      settings,
    );
  });

  test("chi-squared with 2 degrees of freedom is exponential", () => {
    fc.assert(
      fc.property(between(0, 200), (x) => {
        expect(relative(chiSquaredUpperTail(x, 2), Math.exp(-x / 2))).toBeLessThan(1e-13);
      }),
      settings,
    );
  });
});

/** Φ(t·s − δ) averaged over the distribution of s = √(χ²/ν), by Simpson's rule: the definition, no series. */
function noncentralByQuadrature(t: number, nu: number, delta: number): number {
  const density = (s: number) =>
    s === 0
      ? 0
      : Math.exp(
          Math.LN2 +
            (nu / 2) * Math.log(nu / 2) -
            logGamma(nu / 2) +
            (nu - 1) * Math.log(s) -
            (nu * s * s) / 2,
        );
  const end = 1 + 9 / Math.sqrt(nu);
  const steps = 4000;
  let sum = 0;
  for (let i = 0; i <= steps; i++) {
    const s = (end * i) / steps;
    sum += (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2) * density(s) * normalCdf(t * s - delta);
  }
  return (sum * end) / steps / 3;
}

describe("noncentral t", () => {
  const currie = publishedCase("t05_detection_limits.json", "currie1995_four_df");
  test(`the noncentrality missed once in twenty at four degrees of freedom [${originOf(currie)}]`, () => {
    const critical = studentQuantile(0.95, 4);
    const { delta, t } = currie.expected as { delta: number; t: number };
    expect(Math.abs(critical - t)).toBeLessThanOrEqual(allowance(currie, "t", t));
    const low = noncentralStudentCdf(critical, 4, delta - allowance(currie, "delta", delta));
    const high = noncentralStudentCdf(critical, 4, delta + allowance(currie, "delta", delta));
    expect(low).toBeGreaterThan(0.05);
    expect(high).toBeLessThan(0.05);
  });

  test("agrees with the integral that defines it within 1e-11", () => {
    fc.assert(
      fc.property(between(3, 200), between(-8, 12), between(-4, 4), (nu, delta, z) => {
        const t = delta + z * Math.sqrt(1 + (delta * delta) / (2 * nu));
        const difference = noncentralStudentCdf(t, nu, delta) - noncentralByQuadrature(t, nu, delta);
        expect(Math.abs(difference)).toBeLessThan(1e-11);
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  test("large noncentralities do not underflow", () => {
    expect(Math.abs(noncentralStudentCdf(60, 30, 50) - noncentralByQuadrature(60, 30, 50))).toBeLessThan(
      1e-11,
    );
    expect(Math.abs(noncentralStudentCdf(105, 50, 100) - noncentralByQuadrature(105, 50, 100))).toBeLessThan(
      1e-11,
    );
  });

  test("without noncentrality it is Student's t, with infinite degrees of freedom normal about δ", () => {
    expect(noncentralStudentCdf(1.7, 6, 0)).toBe(studentCdf(1.7, 6));
    expect(noncentralStudentCdf(3.2, Infinity, 2)).toBe(normalCdf(3.2 - 2));
    expect(noncentralStudentQuantile(0.9, Infinity, 2)).toBe(2 + normalQuantile(0.9));
  });

  test("the quantile undoes the distribution function", () => {
    fc.assert(
      fc.property(between(0.001, 0.999), between(1, 300), between(-6, 15), (p, nu, delta) => {
        const t = noncentralStudentQuantile(p, nu, delta);
        expect(Math.abs(noncentralStudentCdf(t, nu, delta) - p)).toBeLessThan(1e-12);
      }),
      { seed: 1, numRuns: 60 },
    );
  });

  test("P(T ≤ 0) is Φ(−δ)", () => {
    expect(relative(noncentralStudentCdf(0, 5, 2), normalCdf(-2))).toBeLessThan(1e-14);
    expect(normalPdf(0)).toBeCloseTo(1 / Math.sqrt(2 * Math.PI), 16);
  });
});

test.each([
  ["no degrees of freedom", () => studentQuantile(0.9, 0)],
  ["a probability above 1", () => studentQuantile(1.2, 5)],
  ["negative degrees of freedom of F", () => fisherQuantile(0.9, -1, 5)],
  ["NaN as t", () => studentCdf(Number.NaN, 5)],
  ["NaN as F", () => fisherUpperTail(Number.NaN, 1, 5)],
  ["a noncentrality that is NaN", () => noncentralStudentCdf(1, 5, Number.NaN)],
  ["a negative probability of chi-squared", () => chiSquaredQuantile(-0.1, 3)],
])("%s is refused", (_, call) => {
  expect(call).toThrowError(expect.objectContaining({ code: "out-of-domain" }));
});

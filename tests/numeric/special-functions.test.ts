import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { fastExp } from "../../toolkit/numeric/fast-exp.js";
import { regularizedGammaQ } from "../../toolkit/numeric/incomplete-gamma.js";
import {
  erf,
  erfc,
  erfcx,
  logGamma,
  normalCdf,
  normalPdf,
  normalQuantile,
  regularizedBeta,
  regularizedGammaP,
} from "../../toolkit/numeric/special-functions.js";
import { allowance, originOf, publishedCase } from "./reference.js";

const relative = (value: number, expected: number) => Math.abs(value / expected - 1);
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const settings = { seed: 1, numRuns: 500 };

/** erfcx by Laplace's continued fraction 1/√π · 1/(x + ½/(x + 1/(x + 1½/(x + …)))), DLMF §7.9.2, from its far end. */
function erfcxByFraction(x: number): number {
  let tail = x;
  for (let k = 3000; k >= 1; k--) tail = x + k / 2 / tail;
  return 1 / (Math.sqrt(Math.PI) * tail);
}

describe("error functions", () => {
  const values = publishedCase("t12_distributions_signal.json", "erfc_erfcx_values");

  test(`erfc and erfcx meet values of 40 digits [${originOf(values)}]`, () => {
    const inputs = values.inputs.x as readonly number[];
    for (const [key, own] of [
      ["erfc", erfc],
      ["erfcx", erfcx],
    ] as const) {
      (values.expected[key] as readonly number[]).forEach((expected, i) => {
        expect(Math.abs(own(inputs[i]) - expected)).toBeLessThanOrEqual(allowance(values, key, expected));
      });
    }
  });

  test("erfcx agrees with Laplace's continued fraction (DLMF §7.9.2) within 2e-15 from 1.5 upwards", () => {
    fc.assert(
      fc.property(between(1.5, 60), (x) => {
        expect(relative(erfcx(x), erfcxByFraction(x))).toBeLessThan(2e-15);
      }),
      settings,
    );
  });

  test("erf agrees with its power series (DLMF §7.6.1) within 1e-15 up to 1.5", () => {
    fc.assert(
      fc.property(between(1e-6, 1.5), (x) => {
        let term = x;
        let sum = x;
        for (let n = 1; n < 60; n++) {
          term *= (-x * x) / n;
          sum += term / (2 * n + 1);
        }
        expect(relative(erf(x), (2 / Math.sqrt(Math.PI)) * sum)).toBeLessThan(1e-15);
      }),
      settings,
    );
  });

  test("erf is odd, erf and erfc are complements, and erfcx(−x) = 2·exp(x²) − erfcx(x)", () => {
    fc.assert(
      fc.property(between(-26, 26), (x) => {
        expect(erf(-x)).toBe(-erf(x));
        expect(Math.abs(erf(x) + erfc(x) - 1)).toBeLessThan(3e-16);
        expect(relative(erfcx(-x) + erfcx(x), 2 * Math.exp(x * x))).toBeLessThan(2e-13);
      }),
      settings,
    );
  });

  test("erfcx has no step where one approximation takes over from another: it follows its slope 2x·erfcx − 2/√π", () => {
    const step = 2 ** -30;
    const seams = [-4, -0.46875, 0.46875, ...Array.from({ length: 193 }, (_, k) => -2 + k / 32)];
    for (const x of seams) {
      const slope = 2 * x * erfcx(x) - 2 / Math.sqrt(Math.PI);
      const jump = erfcx(x + step) - erfcx(x - step) - 2 * step * slope;
      expect(Math.abs(jump) / erfcx(x)).toBeLessThan(2e-15);
    }
  });

  test("the far ends are limits, not errors", () => {
    expect(erfc(40)).toBe(0);
    expect(erfc(-40)).toBe(2);
    expect(erfcx(-40)).toBe(Infinity);
    expect(relative(erfcx(1e8), 1e-8 / Math.sqrt(Math.PI))).toBeLessThan(1e-15);
    expect(erf(Infinity)).toBe(1);
    expect(Number.isNaN(erfcx(Number.NaN))).toBe(true);
  });
});

describe("fast exponential", () => {
  test("is the engine's own within 5e-16, and its limits beyond the table", () => {
    fc.assert(
      fc.property(between(-700, 700), between(-64, 64), (far, near) => {
        for (const x of [far, near]) expect(relative(fastExp(x), Math.exp(x))).toBeLessThan(5e-16);
      }),
      { seed: 1, numRuns: 20_000 },
    );
    expect([fastExp(0), fastExp(-Infinity), fastExp(Infinity), fastExp(Number.NaN)]).toEqual([
      1,
      0,
      Infinity,
      Number.NaN,
    ]);
  });

  test("multiplies when its arguments add, across the borders of its table", () => {
    for (let k = -511; k < 511; k++) {
      const border = (k + 0.5) / 8;
      expect(relative(fastExp(border + 2 ** -40) / fastExp(border - 2 ** -40), 1 + 2 ** -39)).toBeLessThan(
        1e-15,
      );
    }
  });
});

describe("the normal distribution", () => {
  const quantiles = publishedCase("t12_distributions_signal.json", "normal_quantiles");

  test(`quantiles meet the tables [${originOf(quantiles)}]`, () => {
    (quantiles.expected.z as readonly number[]).forEach((expected, i) => {
      const z = normalQuantile((quantiles.inputs.p as readonly number[])[i]);
      expect(Math.abs(z - expected)).toBeLessThanOrEqual(allowance(quantiles, "z", expected));
    });
  });

  test("the quantile undoes the distribution function, far into the left tail", () => {
    fc.assert(
      fc.property(between(-35, 5), (x) => {
        // Above 0 the probability itself is only good to 1e-16 of 1.
        const allowed =
          1e-14 * Math.max(1, Math.abs(x)) + (1e-16 * Math.max(1, x)) / normalPdf(Math.max(0, x));
        expect(Math.abs(normalQuantile(normalCdf(x)) - x)).toBeLessThan(allowed);
      }),
      settings,
    );
  });

  test("the ends of the scale are infinite and probabilities beyond them are refused", () => {
    expect(normalQuantile(0)).toBe(-Infinity);
    expect(normalQuantile(1)).toBe(Infinity);
    expect(normalQuantile(0.5)).toBe(0);
    for (const p of [-0.1, 1.1, Number.NaN]) {
      expect(() => normalQuantile(p)).toThrowError(expect.objectContaining({ code: "out-of-domain" }));
    }
  });
});

describe("gamma functions", () => {
  test("logGamma gives the logarithms of factorials", () => {
    let factorial = 1;
    for (let n = 1; n <= 22; n++) {
      expect(Math.abs(logGamma(n) - Math.log(factorial))).toBeLessThan(
        4e-15 * Math.max(1, Math.log(factorial)),
      );
      factorial *= n;
    }
  });

  test("logGamma follows the duplication formula Γ(z)Γ(z + ½) = 2^(1−2z)·√π·Γ(2z) (DLMF §5.5.5)", () => {
    fc.assert(
      fc.property(between(1e-3, 1e5), (z) => {
        const right = (1 - 2 * z) * Math.LN2 + 0.5 * Math.log(Math.PI) + logGamma(2 * z);
        const size = Math.max(1, Math.abs(logGamma(2 * z)));
        expect(Math.abs(logGamma(z) + logGamma(z + 0.5) - right)).toBeLessThan(15e-15 * size);
      }),
      settings,
    );
  });

  test("P(½, x²) is erf(x) and the lower and upper parts make one (DLMF §8.4.1)", () => {
    fc.assert(
      fc.property(between(1e-3, 5), between(0.01, 400), (x, a) => {
        expect(relative(regularizedGammaP(0.5, x * x), erf(x))).toBeLessThan(2e-14);
        expect(Math.abs(regularizedGammaP(a, a * x) + regularizedGammaQ(a, a * x) - 1)).toBeLessThan(1e-14);
      }),
      settings,
    );
  });

  test("Q(n, x) is the Poisson probability of fewer than n events (DLMF §8.4.10)", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 40 }), between(0.01, 60), (n, x) => {
        let term = Math.exp(-x);
        let sum = term;
        for (let k = 1; k < n; k++) {
          term *= x / k;
          sum += term;
        }
        expect(relative(regularizedGammaQ(n, x), sum)).toBeLessThan(2e-13);
      }),
      settings,
    );
  });

  test("I_x(k, n − k + 1) is the binomial probability of k or more of n (DLMF §8.17.5)", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 30 }), between(0.001, 0.999), (n, x) => {
        const k = Math.ceil(n / 3);
        let choose = 1;
        let sum = 0;
        for (let j = 0; j <= n; j++) {
          if (j >= k) sum += choose * x ** j * (1 - x) ** (n - j);
          choose *= (n - j) / (j + 1);
        }
        expect(relative(regularizedBeta(x, k, n - k + 1), sum)).toBeLessThan(2e-13);
      }),
      settings,
    );
  });

  test("I_x(a, b) = 1 − I_{1−x}(b, a) (DLMF §8.17.4), also for shapes of thousands", () => {
    fc.assert(
      fc.property(between(0.001, 0.999), between(0.1, 5000), between(0.1, 5000), (x, a, b) => {
        expect(Math.abs(regularizedBeta(x, a, b) + regularizedBeta(1 - x, b, a) - 1)).toBeLessThan(1e-12);
      }),
      settings,
    );
  });

  test.each([
    ["logGamma at 0", () => logGamma(0)],
    ["a negative shape", () => regularizedGammaP(-1, 2)],
    ["x above 1 in the beta function", () => regularizedBeta(1.5, 1, 1)],
    ["NaN", () => regularizedGammaQ(1, Number.NaN)],
  ])("%s is refused", (_, call) => {
    expect(call).toThrowError(expect.objectContaining({ code: "out-of-domain" }));
  });
});

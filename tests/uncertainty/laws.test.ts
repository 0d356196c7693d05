import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  combineLinear,
  correlation,
  covariance,
  exactly,
  fromCovariance,
  fromReadings,
  fromSimultaneousReadings,
  fromSources,
  type MeasuredValue,
  measured,
  minus,
  monteCarlo,
  over,
  plus,
  propagate,
  times,
} from "../../toolkit/uncertainty/measured.js";

const runs = { seed: 1, numRuns: 300 };

/**
 * Bounded away from 0 and from each other in size, because the laws are checked in floating point: sums of numbers
 * twenty orders apart lose the smaller one whatever the code does.
 */
const magnitude = fc.double({ min: 1e-3, max: 1e4, noNaN: true });
const number = fc.tuple(magnitude, fc.boolean()).map(([x, negative]) => (negative ? -x : x));
const source = fc.constantFrom("stock", "flask", "curve", "balance", undefined);

/** A value with one to four sources, some of them shared with other values by name. */
const value: fc.Arbitrary<MeasuredValue> = fc
  .tuple(
    number,
    fc.array(
      fc.tuple(source, fc.double({ min: 1e-4, max: 0.3, noNaN: true }), fc.integer({ min: 3, max: 40 })),
      {
        minLength: 1,
        maxLength: 4,
      },
    ),
  )
  .map(([x, parts]) =>
    parts
      .map(([name, relative, dof]) =>
        measured(0, "mg/L", { u: relative * Math.abs(x) }, { dof, ...(name ? { source: name } : {}) }),
      )
      .reduce(plus, exactly(x, "mg/L")),
  );

/** Equal as random variables: their difference is 0 ± 0 up to rounding, seen beside their own size. */
function expectSame(a: MeasuredValue, b: MeasuredValue, relative = 1e-12): void {
  expect(a.unit).toBe(b.unit);
  const gap = minus(a, b);
  const size = relative * (Math.abs(a.value) + Math.abs(b.value) + a.u + b.u);
  expect(Math.abs(gap.value)).toBeLessThanOrEqual(size);
  expect(gap.u).toBeLessThanOrEqual(size);
}

describe("arithmetic of random variables", () => {
  test("x − x is exactly 0 ± 0", () => {
    fc.assert(
      fc.property(value, (x) => {
        const zero = minus(x, x);
        expect([zero.value, zero.u]).toEqual([0, 0]);
        expect(zero.interval()).toMatchObject({ low: 0, high: 0 });
      }),
      runs,
    );
  });

  test("x − x is exactly 0 ± 0 when both are stated anew from the same named sources", () => {
    const state = () =>
      plus(
        measured(10, "mg/L", { u: 0.3 }, { source: "stock" }),
        measured(2, "mg/L", { u: 0.1 }, { source: "flask" }),
      );
    expect(minus(state(), state()).u).toBe(0);
  });

  test("x/x is exactly 1 ± 0, without unit", () => {
    fc.assert(
      fc.property(value, (x) => {
        const one = over(x, x);
        expect([one.value, one.u, one.unit]).toEqual([1, 0, "1"]);
      }),
      runs,
    );
  });

  test("a sum does not depend on its order", () => {
    fc.assert(
      fc.property(value, value, value, (a, b, c) => {
        expectSame(plus(a, b), plus(b, a));
        expectSame(plus(plus(a, b), c), plus(a, plus(c, b)));
        const budget = (x: MeasuredValue) => x.budget().map((row) => [row.source, row.u, row.dof]);
        expect(budget(plus(a, b)).sort()).toEqual(budget(plus(b, a)).sort());
      }),
      runs,
    );
  });

  test("a product distributes over a sum, and a quotient undoes a product", () => {
    fc.assert(
      fc.property(value, value, value, (a, b, c) => {
        expectSame(times(a, plus(b, c)), plus(times(a, b), times(a, c)), 1e-10);
        expectSame(over(times(a, b), b), a, 1e-10);
        expectSame(times(over(a, b), b), a, 1e-10);
      }),
      runs,
    );
  });

  test("a − b is a + (−1)·b, and a long sum in one pass is the same sum step by step", () => {
    fc.assert(
      fc.property(value, value, value, number, (a, b, c, factor) => {
        expectSame(minus(a, b), plus(a, times(-1, b)));
        const terms = [
          { value: a, factor: 1 },
          { value: b, factor },
          { value: c, factor: -2 },
        ];
        const stepwise = plus(plus(a, times(factor, b)), times(c, -2));
        expectSame(combineLinear(terms, "mg/L"), stepwise);
      }),
      runs,
    );
  });

  test("values of one name but different u are fully correlated, each with its own u", () => {
    const a = measured(10, "mg/L", { u: 0.3 }, { source: "stock" });
    const b = measured(5, "mg/L", { u: 0.1 }, { source: "stock" });
    expect(correlation(a, b)).toBeCloseTo(1, 14);
    expect(plus(a, b).u).toBeCloseTo(0.4, 14);
    expect(minus(a, b).u).toBeCloseTo(0.2, 14);
  });

  test("a budget shows a source that was stated twice with its larger u and its fewer degrees of freedom", () => {
    const a = measured(10, "mg/L", { u: 0.3 }, { source: "stock", dof: 8 });
    const b = measured(5, "mg/L", { u: 0.1 }, { source: "stock", dof: 5 });
    for (const sum of [plus(a, b), plus(b, a)]) {
      expect(sum.budget()).toMatchObject([{ source: "stock", u: 0.3, dof: 5, share: 1 }]);
      expect(sum.budget()[0].contribution).toBeCloseTo(0.4, 14);
    }
  });

  test("values without a name are independent, also when stated alike", () => {
    const state = () => measured(10, "mg/L", { u: 3 });
    const [a, b] = [state(), state()];
    expect(minus(a, b).u).toBeCloseTo(3 * Math.SQRT2, 12);
    expect(covariance(a, b)).toBe(0);
  });
});

describe("covariance", () => {
  test("is symmetric, u² of a value with itself, and explains the u of sum and difference", () => {
    fc.assert(
      fc.property(value, value, (a, b) => {
        const cov = covariance(a, b);
        expect(covariance(b, a)).toBe(cov);
        const scale = a.u ** 2 + b.u ** 2;
        expect(Math.abs(covariance(a, a) - a.u ** 2)).toBeLessThanOrEqual(1e-14 * scale);
        expect(Math.abs(plus(a, b).u ** 2 - (scale + 2 * cov))).toBeLessThanOrEqual(1e-12 * scale);
        expect(Math.abs(minus(a, b).u ** 2 - (scale - 2 * cov))).toBeLessThanOrEqual(1e-12 * scale);
        expect(Math.abs(correlation(a, b))).toBeLessThanOrEqual(1);
        expect(correlation(a, a)).toBe(1);
      }),
      runs,
    );
  });

  test("of values evaluated together is the one that was given", () => {
    const entry = fc.integer({ min: -200, max: 200 }).map((x) => x / 100);
    const row = fc.array(entry, { minLength: 3, maxLength: 3 });
    fc.assert(
      fc.property(fc.array(row, { minLength: 3, maxLength: 3 }), (root) => {
        const matrix = root.map((a) => root.map((b) => a.reduce((sum, x, k) => sum + x * b[k], 0)));
        const joint = fromCovariance({ a: 1, b: 2, c: 3 }, "1", matrix, { dof: 7 });
        const values = [joint.a, joint.b, joint.c];
        values.forEach((x, i) => {
          values.forEach((y, k) => {
            const scale = Math.sqrt(matrix[i][i] * matrix[k][k]);
            expect(Math.abs(covariance(x, y) - matrix[i][k])).toBeLessThanOrEqual(1e-6 * scale);
          });
        });
        const sum = combineLinear(
          values.map((x) => ({ value: x, factor: 1 })),
          "1",
        );
        if (sum.u > 0) expect(sum.dof).toBeCloseTo(7, 8);
      }),
      runs,
    );
  });

  test("of simultaneous readings leaves each mean as it is alone", () => {
    const readings = fc.array(fc.tuple(magnitude, magnitude), { minLength: 2, maxLength: 9 });
    fc.assert(
      fc.property(readings, (sets) => {
        const [a, b] = [sets.map(([x]) => x), sets.map(([, y]) => y)];
        const joint = fromSimultaneousReadings({ a, b }, "mg/L");
        const alone = fromReadings(b, "mg/L");
        expect(joint.b.value).toBe(alone.value);
        expect(Math.abs(joint.b.u - alone.u)).toBeLessThanOrEqual(1e-9 * alone.u);
        expect(joint.b.dof).toBeCloseTo(sets.length - 1, 10);
      }),
      {
        ...runs,
        examples: [
          [
            [
              [1, 5],
              [2, 4],
            ],
          ],
        ],
      },
    );
  });

  test("of readings that follow each other exactly is full: their sum with opposite sign has no spread", () => {
    const up = [1, 2, 3, 4.5];
    const { a, b } = fromSimultaneousReadings({ a: up, b: up.map((x) => 10 - x) }, "mg/L");
    expect(correlation(a, b)).toBeCloseTo(-1, 12);
    expect(plus(a, b).u).toBeLessThan(1e-7);
  });
});

describe("propagation through a model", () => {
  test("of a linear model equals arithmetic", () => {
    fc.assert(
      fc.property(value, value, number, (a, b, factor) => {
        const byModel = propagate((x) => factor * x.a - 3 * x.b + 7, { a, b }, "mg/L");
        const byArithmetic = plus(minus(times(factor, a), times(3, b)), 7);
        expectSame(byModel, byArithmetic, 1e-9);
      }),
      runs,
    );
  });

  test("of a product and of a quotient equals arithmetic", () => {
    fc.assert(
      fc.property(value, value, (a, b) => {
        expectSame(
          propagate((x) => x.a * x.b, { a, b }, times(a, b).unit),
          times(a, b),
          1e-9,
        );
      }),
      runs,
    );
    // The fourth-order error of the differences in 1/b is (u/8)⁴/4 relative: below 10⁻⁶ of u for u ≤ 30 % of b.
    fc.assert(
      fc.property(value, value, (a, b) => {
        fc.pre(b.u < 0.3 * Math.abs(b.value));
        expectSame(
          propagate((x) => x.a / x.b, { a, b }, "1"),
          over(a, b),
          1e-6,
        );
      }),
      runs,
    );
  });

  test("keeps the correlation of inputs with a common source", () => {
    const a = measured(10, "mg/L", { u: 0.3 }, { source: "stock" });
    const b = measured(10, "mg/L", { u: 0.3 }, { source: "stock" });
    expect(propagate((x) => x.a - x.b, { a, b }, "mg/L").u).toBeLessThan(1e-12);
  });

  test("takes inputs without uncertainty, and plain numbers, as they are", () => {
    let calls = 0;
    const model = (x: Record<"a" | "b" | "c", number>) => {
      calls++;
      return x.a * x.b + x.c;
    };
    const y = propagate(model, { a: exactly(2, "mg"), b: 3, c: measured(1, "mg", { u: 0.1 }) }, "mg");
    expect([y.value, calls]).toEqual([7, 5]);
    expect(y.u).toBeCloseTo(0.1, 12);
  });

  test("calls nameless inputs in the budget as the model calls them, and leaves given names", () => {
    const y = propagate(
      (x) => x.m / x.V,
      { m: measured(100, "mg", { u: 0.1 }), V: measured(0.1, "L", { u: 2e-4 }, { source: "flask 7" }) },
      "mg/L",
    );
    expect(y.budget().map((row) => row.source)).toEqual(["flask 7", "m"]);
  });
});

describe("degrees of freedom and budget", () => {
  test("effective degrees of freedom lie between the fewest of the sources and infinity", () => {
    fc.assert(
      fc.property(value, value, (a, b) => {
        const sum = plus(a, b);
        const fewest = Math.min(...sum.sources.map(({ dof }) => dof));
        expect(sum.dof).toBeGreaterThanOrEqual(fewest * (1 - 1e-12));
      }),
      runs,
    );
  });

  test("two independent sources give ν = u⁴/(u₁⁴/ν₁ + u₂⁴/ν₂) [GUM G.2b]", () => {
    const sum = plus(measured(1, "1", { u: 3 }, { dof: 5 }), measured(1, "1", { u: 4 }, { dof: 8 }));
    expect(sum.dof).toBeCloseTo(5 ** 4 / (3 ** 4 / 5 + 4 ** 4 / 8), 10);
  });

  test("a source met twice counts once: readings used in two places keep their degrees of freedom", () => {
    const blank = fromReadings([0.11, 0.13, 0.12, 0.15], "mg/L");
    expect(plus(blank, times(2, blank)).dof).toBe(3);
  });

  test("shares sum to 1, largest first, and sensitivity times u is the contribution", () => {
    fc.assert(
      fc.property(value, value, (a, b) => {
        const product = times(a, b);
        const rows = product.budget();
        expect(rows.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 10);
        for (const [i, row] of rows.entries()) {
          expect(Math.abs(Math.abs(row.sensitivity) * row.u - row.contribution)).toBeLessThanOrEqual(
            1e-12 * product.u,
          );
          if (i > 0) expect(row.contribution).toBeLessThanOrEqual(rows[i - 1].contribution);
        }
      }),
      runs,
    );
  });

  test("a value rebuilt from its contributions is the same random variable", () => {
    fc.assert(
      fc.property(value, (x) => {
        const rebuilt = fromSources(
          x.value,
          x.unit,
          x.sources.map(({ key, dof }, i) => ({ source: key, contribution: x.contributions[i], dof })),
        );
        expectSame(rebuilt, x);
        expect(rebuilt.dof).toBeCloseTo(x.dof, 8);
      }),
      runs,
    );
  });

  test("an interval widens with its level and with fewer degrees of freedom", () => {
    const known = measured(10, "mg/L", { u: 1 });
    const estimated = measured(10, "mg/L", { u: 1 }, { dof: 4 });
    expect(known.interval().k).toBeCloseTo(1.959964, 6);
    expect(estimated.interval().k).toBeCloseTo(2.776445, 6);
    expect(known.interval(0.99).high).toBeGreaterThan(known.interval(0.95).high);
  });
});

describe("Monte Carlo", () => {
  const trials = 200_000;

  test("agrees with first order on a linear model with shared sources, within its sampling error", () => {
    fc.assert(
      fc.property(value, value, fc.constantFrom(1, 2, 3), (a, b, seed) => {
        const known = (x: MeasuredValue) =>
          fromSources(
            x.value,
            x.unit,
            x.sources.map(({ key }, i) => ({ source: key, contribution: x.contributions[i] })),
          );
        const inputs = { a: known(a), b: known(b) };
        const exact = minus(times(2, inputs.a), inputs.b);
        const { mean, u, interval } = monteCarlo((x) => 2 * x.a - x.b, inputs, { trials, seed });
        const error = exact.u / Math.sqrt(trials) + 1e-12 * Math.abs(exact.value);
        expect(Math.abs(mean - exact.value)).toBeLessThan(5 * error);
        expect(Math.abs(u - exact.u)).toBeLessThan(5 * error);
        const { low, high } = exact.interval();
        expect(Math.abs(interval.low - low)).toBeLessThan(15 * error);
        expect(Math.abs(interval.high - high)).toBeLessThan(15 * error);
      }),
      { seed: 2, numRuns: 25 },
    );
  });

  test("draws a shared source once: a − a has no spread at all", () => {
    const a = measured(10, "mg/L", { u: 1 });
    const { mean, u } = monteCarlo((x) => x.a - x.b, { a, b: a }, { trials });
    expect([mean, u]).toEqual([0, 0]);
  });

  test("gives the interval of the t distribution where degrees of freedom are few", () => {
    const a = measured(0, "1", { u: 1 }, { dof: 4 });
    const { interval } = monteCarlo((x) => x.a, { a }, { seed: 3 });
    // t.975(4) = 2.776; sampling error of the quantile √(0.025·0.975/10⁶)/0.0149 = 0.0105.
    expect(Math.abs(interval.high - 2.776445)).toBeLessThan(0.045);
    expect(Math.abs(interval.low + 2.776445)).toBeLessThan(0.045);
  });

  test("draws values of one evaluation as a multivariate t: uncorrelated ones still share their χ²", () => {
    const dof = 20;
    const identity = [
      [1, 0],
      [0, 1],
    ];
    const { a, b } = fromCovariance({ a: 0, b: 0 }, "1", identity, { dof });
    // E(a²b²) = E((ν/χ²)²) = ν²/((ν − 2)(ν − 4)) = 1.389; of two independent t it would be (ν/(ν − 2))² = 1.235.
    const { mean } = monteCarlo((x) => x.a ** 2 * x.b ** 2, { a, b }, { seed: 1 });
    expect(Math.abs(mean - dof ** 2 / ((dof - 2) * (dof - 4)))).toBeLessThan(0.03);
  });

  test("repeats exactly with its seed and differs with another", () => {
    const a = measured(10, "mg/L", { u: 1 });
    const run = (seed: number) => monteCarlo((x) => x.a ** 2, { a }, { trials: 10_000, seed });
    expect(run(1)).toEqual(run(1));
    expect(run(1).mean).not.toBe(run(2).mean);
  });

  test("an interval inside a model does not disturb the trials around it", () => {
    const a = measured(10, "mg/L", { u: 1 });
    const inner = () => monteCarlo((x) => x.a, { a }, { trials: 1000, seed: 2 }).mean;
    const alone = monteCarlo((x) => x.a, { a }, { trials: 2000 });
    const nested = monteCarlo((x) => x.a + 0 * inner(), { a }, { trials: 2000 });
    expect([nested.mean, nested.u, nested.interval]).toEqual([alone.mean, alone.u, alone.interval]);
  });

  test("warns of a t distribution without variance", () => {
    const a = measured(10, "mg/L", { u: 1 }, { dof: 2, source: "moisture" });
    const result = monteCarlo((x) => x.a, { a }, { trials: 1000 });
    expect(result.cautions.join()).toContain("moisture");
    expect(String(result)).toContain("no finite variance");
  });
});

import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import type {
  CalibrateOptions,
  CalibrationModel,
  StandardReading,
} from "../../toolkit/calibration/response/types.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { correlation, covariance, measured, minus, over } from "../../toolkit/uncertainty/measured.js";

const LEVELS = [0.1, 0.3, 1, 3, 10, 30];
type Model = Exclude<CalibrationModel, "physical">;
const MODELS: readonly Model[] = ["linear", "through-zero", "quadratic", "weak"];
const TRUTH: Readonly<Record<Model, (x: number) => number>> = {
  linear: (x) => 0.01 + 0.25 * x,
  "through-zero": (x) => 0.25 * x,
  quadratic: (x) => 0.01 + 0.25 * x - 0.001 * x * x,
  weak: (x) => (2 * x) / (3 + Math.sqrt(9 + 0.4 * x)),
};

function standards(model: Model, seed: number, scatter = 0.005): StandardReading[] {
  const random = createRandom(seed);
  return LEVELS.flatMap((concentration) =>
    [0, 1].map(() => ({
      concentration,
      response: TRUTH[model](concentration) * (1 + scatter * random.normal()),
    })),
  );
}

const seeds = [1, 2, 3];
const cases = MODELS.flatMap((model) => seeds.map((seed) => ({ model, seed })));
const factor = fc.double({ min: 1e-6, max: 1e6, noNaN: true });
const asked = { seed: 1, numRuns: 50 };
const close = (a: number, b: number, digits = 1e-9) =>
  expect(Math.abs(a - b)).toBeLessThanOrEqual(digits * Math.max(Math.abs(a), Math.abs(b)));

describe("laws of calibration", () => {
  it.each(cases)(
    "multiplying all weights by a constant changes nothing ($model, seed $seed)",
    ({ model, seed }) => {
      const points = standards(model, seed);
      const weights = points.map((p) => p.concentration ** -1.3);
      const plain = calibrate(points, { model, weighting: weights });
      fc.assert(
        fc.property(factor, (k) => {
          const scaled = calibrate(points, { model, weighting: weights.map((w) => k * w) });
          plain.coefficients.forEach((b, i) => {
            close(scaled.coefficients[i], b);
          });
          const [a, b] = [plain, scaled].map((curve) => curve.concentration([0.7, 0.71]));
          close(a.value, b.value);
          close(a.u, b.u);
        }),
        asked,
      );
    },
  );

  it.each(cases)(
    "another unit of response leaves all concentrations alone ($model, seed $seed)",
    ({ model, seed }) => {
      const points = standards(model, seed);
      const options: CalibrateOptions = { model, weighting: model === "weak" ? "1/x^2" : "none" };
      const plain = calibrate(points, options);
      fc.assert(
        fc.property(factor, (k) => {
          const other = calibrate(
            points.map((p) => ({ ...p, response: k * p.response })),
            options,
          );
          const [a, b] = [plain.concentration(0.9), other.concentration(k * 0.9)];
          close(a.value, b.value);
          close(a.u, b.u, 1e-7);
        }),
        asked,
      );
    },
  );

  it.each(cases)(
    "reading off what the curve responds gives the concentration back ($model, seed $seed)",
    ({ model, seed }) => {
      const curve = calibrate(standards(model, seed), { model, weighting: "1/x^2" });
      fc.assert(
        fc.property(fc.double({ min: 0.05, max: 30, noNaN: true }), (x) => {
          close(curve.concentration(curve.respond(x)).value, x, 1e-9);
        }),
        asked,
      );
    },
  );

  it.each(cases)("points in another order give the same curve ($model, seed $seed)", ({ model, seed }) => {
    const points = standards(model, seed);
    const [a, b] = [points, [...points].reverse()].map((p) => calibrate(p, { model, weighting: "1/x" }));
    a.coefficients.forEach((value, k) => {
      close(value, b.coefficients[k]);
    });
    close(a.residualStandardDeviation, b.residualStandardDeviation);
    expect(a.lackOfFit()?.F).toBeCloseTo(b.lackOfFit()?.F as number, 6);
  });

  it("inputs are not written", () => {
    const points = standards("linear", 1).map((p) => Object.freeze({ ...p }));
    expect(() => calibrate(Object.freeze(points), { weighting: "1/x" }).mandel()).not.toThrow();
  });
});

describe("results of one curve", () => {
  it.each(cases)("are correlated as the curve's covariance says ($model, seed $seed)", ({ model, seed }) => {
    const curve = calibrate(standards(model, seed), { model, weighting: "1/x^2" });
    const exact = (x: number) => curve.concentration(curve.respond(x), { u: 0 });
    const [a, b] = [exact(2), exact(7)];
    // cov = J_a·Cov(b)·J_bᵀ, J by differences of the curve itself.
    const jacobian = (x: number) => {
      const y = curve.respond(x);
      return curve.coefficients.map((_, k) => {
        const h = 1e-6 * Math.max(Math.abs(curve.coefficients[k]), 1e-3);
        const shifted = (sign: number) => inverted(model, curve.coefficients, k, sign * h, y);
        return (shifted(1) - shifted(-1)) / (2 * h);
      });
    };
    const [ja, jb] = [jacobian(2), jacobian(7)];
    let expected = 0;
    ja.forEach((p, i) => {
      jb.forEach((q, j) => {
        expected += p * curve.covariance[i][j] * q;
      });
    });
    expect(Math.abs(covariance(a, b) - expected)).toBeLessThan(1e-4 * a.u * b.u);
    expect(Math.abs(correlation(a, b))).toBeGreaterThan(0.1);
  });

  it("share the curve but not the reading, and not with another curve", () => {
    const curve = calibrate(standards("linear", 1), { ion: "Cl-" });
    const other = calibrate(standards("linear", 2), { ion: "Cl-" });
    const [a, b] = [curve.concentration(1), curve.concentration(1)];
    expect(correlation(a, b)).toBeGreaterThan(0);
    expect(correlation(a, b)).toBeLessThan(1);
    expect(correlation(a, other.concentration(1))).toBe(0);
    expect(minus(a, b).u).toBeGreaterThan(0);
    expect(curve.name).toMatch(/^curve chloride [0-9a-f]{4}$/);
    expect(calibrate(standards("linear", 1), { ion: "Cl-" }).name).toBe(curve.name);
  });

  it("of one reading given under one name differ by nothing", () => {
    const curve = calibrate(standards("linear", 1));
    const difference = minus(
      curve.concentration(1, { source: "A7" }),
      curve.concentration(1, { source: "A7" }),
    );
    expect([difference.value, difference.u]).toEqual([0, 0]);
  });

  it("carry the sources of a measured reading", () => {
    const curve = calibrate(standards("linear", 1), { name: "curve" });
    const area = measured(1.2, "µS/cm·min", { u: 0.01 }, { source: "injection A7", dof: 5 });
    const found = curve.concentration(area);
    expect(found.unit).toBe("mg/L");
    expect(found.budget().map((row) => row.source)).toEqual(
      expect.arrayContaining(["injection A7", "curve (1)", "curve (2)"]),
    );
    const row = found.budget().find((each) => each.source === "injection A7");
    close(row?.contribution as number, 0.01 / curve.coefficients[1]);
    close(found.value, curve.concentration(1.2).value);
    close(found.u, curve.concentration(1.2, { u: 0.01 }).u);
  });
});

describe("the variance of a reading", () => {
  const points = [1, 2, 4, 8].map((x, i) => ({ concentration: x, response: x + 0.01 * (-1) ** i }));
  const s2 = (curve: { residualStandardDeviation: number }) => curve.residualStandardDeviation ** 2;

  it("follows named weights, and stays that of the lowest level below it", () => {
    const curve = calibrate(points, { weighting: "1/x^2" });
    close(curve.readingVariance(3), s2(curve) * 9);
    close(curve.readingVariance(0.1), s2(curve));
    close(curve.readingVariance(-1), s2(curve));
  });

  it("is interpolated over the levels' 1/w where weights are given, and held beyond them", () => {
    const curve = calibrate(points, { weighting: [1, 1 / 2, 1 / 6, 1 / 20] });
    close(curve.readingVariance(3), s2(curve) * 4);
    close(curve.readingVariance(5), s2(curve) * 9.5);
    close(curve.readingVariance(0), s2(curve));
    close(curve.readingVariance(100), s2(curve) * 20);
  });

  it("is finite at zero even for a purely quadratic weak curve", () => {
    const y = [1.06, 2.02, 3, 3.99, 4.98];
    const curve = calibrate(
      [1, 4, 9, 16, 25].map((x, i) => ({ concentration: x, response: y[i] })),
      { model: "weak" },
    );
    expect(curve.coefficients[0]).toBe(0);
    expect(curve.readingVariance(0)).toBe(curve.readingVariance(1));
    expect(curve.concentration(0).value).toBe(0);
  });
});

describe("what standards share", () => {
  const stock = 0.004;
  const shared = (points: readonly StandardReading[]) =>
    points.map((p) => ({ ...p, sources: [{ source: "stock S1", contribution: stock * p.concentration }] }));

  it.each(cases)("a stock off by r moves every result by r ($model, seed $seed)", ({ model, seed }) => {
    for (const weighting of ["none", "1/x^2"] as const) {
      const curve = calibrate(shared(standards(model, seed)), { model, weighting });
      for (const response of [0.1, 1, 4]) {
        const found = curve.concentration(response);
        const row = found.budget().find((each) => each.source === "stock S1");
        close(row?.contribution as number, stock * found.value, 1e-8);
      }
      const ratio = over(curve.concentration(1, { u: 0 }), curve.concentration(4, { u: 0 }));
      expect(ratio.budget().find((each) => each.source === "stock S1")?.contribution).toBeLessThan(1e-9);
    }
  });

  it.each(cases)(
    "a flask's contribution is what fitting again with it moved gives ($model, seed $seed)",
    ({ model, seed }) => {
      const points = standards(model, seed);
      const own = 1e-5;
      const moved = (by: number) =>
        points.map((p) => (p.concentration === 3 ? { ...p, concentration: p.concentration + by } : p));
      for (const weighting of ["none", "1/x", "1/x^2"] as const) {
        const options: CalibrateOptions = { model, weighting };
        const named = points.map((p) =>
          p.concentration === 3 ? { ...p, sources: [{ source: "flask 4", contribution: own }] } : p,
        );
        const found = calibrate(named, options).concentration(1.1);
        const index = found.sources.findIndex((source) => source.key === "flask 4");
        const [up, down] = [own, -own].map((by) => calibrate(moved(by), options).concentration(1.1).value);
        close(found.contributions[index], (up - down) / 2, 1e-5);
      }
    },
  );

  it("a bare u is one flask for all readings of its level", () => {
    const points = standards("linear", 1).map((p) => ({ ...p, u: 0.01 * p.concentration }));
    const curve = calibrate(points, { name: "curve" });
    const rows = curve.concentration(1).budget();
    expect(rows.filter((row) => row.source.startsWith("standard ")).length).toBe(LEVELS.length);
    expect(curve.concentration(1).u).toBeGreaterThan(calibrate(standards("linear", 1)).concentration(1).u);
    // Stated variances hold everything but named sources.
    const stated = calibrate(points, { covarianceFrom: { responseVariances: points.map(() => 1e-4) } });
    expect(
      stated
        .concentration(1)
        .budget()
        .some((row) => row.source.startsWith("standard ")),
    ).toBe(false);
  });

  it("a bounded weak curve moves with its stock as well", () => {
    const x = [1, 2, 4, 8];
    const points = x.map((c, i) => ({ concentration: c, response: [1, 2.1, 4.5, 10][i] }));
    const curve = calibrate(shared(points), { model: "weak", weighting: "1/x^2" });
    expect(curve.coefficients[1]).toBe(0);
    const found = curve.concentration(3);
    const row = found.budget().find((each) => each.source === "stock S1");
    close(row?.contribution as number, stock * found.value, 1e-8);
  });
});

/** The concentration of a response with one coefficient shifted, from the definition of the model. */
function inverted(model: Model, coefficients: readonly number[], k: number, by: number, y: number): number {
  const b = coefficients.map((value, i) => (i === k ? value + by : value));
  if (model === "weak") return b[0] * y + b[1] * y * y;
  if (model !== "quadratic") return (y - b[0]) / b[1];
  return (-b[1] + Math.sqrt(b[1] ** 2 - 4 * b[2] * (b[0] - y))) / (2 * b[2]);
}

import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { varianceAt } from "../../toolkit/calibration/weights/variance-function.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { CHLORIDE, CHLORIDE_POINTS } from "./chloride-example.js";
import { codeOf, pointsOf } from "./published.js";

describe("a variance function fitted to the replicates", () => {
  const curve = calibrate(CHLORIDE_POINTS, { weighting: "variance-function", ion: "Cl-" });

  it("of the chloride example: s₀ 0.00072, θ 0.0088, b₀ −0.00027, reduced χ² 0.86 (handbook CALIBRATION §3, computed there)", () => {
    expect(curve.varianceFunction?.s0).toBeCloseTo(0.00072, 5);
    expect(curve.varianceFunction?.theta).toBeCloseTo(0.0088, 4);
    expect(curve.coefficients[0]).toBeCloseTo(-0.00027, 5);
    expect(curve.residualStandardDeviation ** 2).toBeCloseTo(0.86, 2);
    // The weights at the fitted responses give 0.244466; the handbook's 0.24446 stands for weights at the level means.
    expect(curve.coefficients[1]).toBeCloseTo(0.244466, 6);
    const means = CHLORIDE.flatMap(([, responses]) =>
      responses.map(() => responses.reduce((sum, y) => sum + y, 0) / responses.length),
    );
    const found = curve.varianceFunction;
    if (!found) throw new Error("the weighting is a variance function");
    const atMeans = calibrate(CHLORIDE_POINTS, { weighting: means.map((y) => 1 / varianceAt(found, y)) });
    expect(atMeans.coefficients[0]).toBeCloseTo(-0.00027, 5);
    expect(atMeans.coefficients[1]).toBeCloseTo(0.24446, 5);
    expect(String(curve)).toContain("weights variance function");
    expect(String(curve)).toContain("scatter √(0.00072² + (0.0088·y)²), from 12 degrees of freedom");
  });

  it("lies where no other s₀ and θ make the replicates likelier", () => {
    const found = curve.varianceFunction;
    if (!found) throw new Error("the weighting is a variance function");
    const minusLog = (s0: number, theta: number) =>
      CHLORIDE.reduce((sum, [x, responses]) => {
        const mean = responses.reduce((a, b) => a + b, 0) / 3;
        const s2 = responses.reduce((a, b) => a + (b - mean) ** 2, 0) / 2;
        const v = s0 ** 2 + (theta * curve.respond(x)) ** 2;
        return sum + 2 * (Math.log(v) + s2 / v);
      }, 0);
    const best = minusLog(found.s0, found.theta);
    for (const a of [0.9, 0.99, 1.01, 1.1]) {
      for (const b of [0.9, 0.99, 1, 1.01, 1.1]) {
        expect(minusLog(a * found.s0, b * found.theta)).toBeGreaterThan(best);
      }
    }
  });

  it.each([1, 2, 3])("finds s₀ and θ again from many replicates (seed %i)", (seed) => {
    const random = createRandom(seed);
    const points = [0.1, 0.5, 2, 8, 20].flatMap((concentration) =>
      Array.from({ length: 200 }, () => {
        const y = 0.25 * concentration;
        return { concentration, response: y + Math.hypot(0.002, 0.01 * y) * random.normal() };
      }),
    );
    for (const model of ["linear", "through-zero", "quadratic"] as const) {
      const found = calibrate(points, { model, weighting: "variance-function" }).varianceFunction;
      expect((found?.s0 ?? 0) / 0.002).toBeCloseTo(1, 0.7);
      expect((found?.theta ?? 0) / 0.01).toBeCloseTo(1, 0.7);
    }
  });

  it("needs replicates that scatter", () => {
    const single = pointsOf([1, 2, 4, 8], [1, 2.1, 3.9, 8]);
    expect(codeOf(() => calibrate(single, { weighting: "variance-function" }))).toBe("no-replicates");
    expect(codeOf(() => calibrate([...single, ...single], { weighting: "variance-function" }))).toBe(
      "no-scatter",
    );
  });
});

describe("given standard deviations", () => {
  it("are 1/s² for a line, and carried through dx/dy for a weak curve", () => {
    const deviations = CHLORIDE_POINTS.map(({ response }) => 0.001 + 0.008 * response);
    const line = calibrate(CHLORIDE_POINTS, { weighting: { standardDeviations: deviations } });
    const same = calibrate(CHLORIDE_POINTS, { weighting: deviations.map((s) => s ** -2) });
    line.coefficients.forEach((value, k) => {
      expect(value / same.coefficients[k]).toBeCloseTo(1, 12);
    });
    const weak = calibrate(CHLORIDE_POINTS, { model: "weak", weighting: { standardDeviations: deviations } });
    const [a1, a2] = weak.coefficients;
    const carried = CHLORIDE_POINTS.map(({ concentration }, i) => {
      const slope = a1 + 2 * a2 * weak.respond(concentration);
      return (deviations[i] * slope) ** -2;
    });
    const again = calibrate(CHLORIDE_POINTS, { model: "weak", weighting: carried });
    expect(again.coefficients[0] / a1).toBeCloseTo(1, 7);
  });

  it("are one number above zero per point", () => {
    const wrong = (standardDeviations: readonly number[]) => () =>
      calibrate(CHLORIDE_POINTS, { weighting: { standardDeviations } });
    expect(codeOf(wrong([1, 2]))).toBe("weights-mismatch");
    expect(codeOf(wrong(CHLORIDE_POINTS.map((_, i) => i - 1)))).toBe("bad-weight");
  });
});

import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { codeOf, pointsOf } from "./published.js";

// Ammonium after suppression: NH4OH ionises partly. K_b from pKa 9.252 (public thermodynamic database), limiting
// conductivities 73.5 and 198.3 S·cm²/mol (from memory): handbook CALIBRATION §4, figures computed there.
const BASE_CONSTANT = 10 ** (9.252 - 14);
const CONDUCTIVITY = 73.5 + 198.3;
const AMMONIUM = 18.039;
/** Peak dilution between injection and cell. */
const DILUTION = 10;

/** mol/L of hydroxide in the cell for mg/L of ammonium injected. */
function ionised(massConcentration: number): number {
  const c = massConcentration / AMMONIUM / 1000 / DILUTION;
  return (-BASE_CONSTANT + Math.sqrt(BASE_CONSTANT ** 2 + 4 * BASE_CONSTANT * c)) / 2;
}

const levels = [0.05, 0.1, 0.2, 0.5, 1, 2, 5];
// κ in µS/cm = 1000·Λ·r
const responses = levels.map((x) => 1000 * CONDUCTIVITY * ionised(x));
const points = pointsOf(levels, responses);

describe("the model for weak acids and bases (handbook CALIBRATION §4)", () => {
  it("0.05, 0.5 and 5 mg/L of ammonium are 98, 88 and 54 % ionised [computed there]", () => {
    const percent = [0.05, 0.5, 5].map((x) =>
      Math.round((100 * ionised(x) * AMMONIUM * 1000 * DILUTION) / x),
    );
    expect(percent).toEqual([98, 88, 54]);
  });

  it("a straight line misreads them by −28 to +16 %, the model by nothing", () => {
    const errors = (model: "linear" | "weak") =>
      calibrate(points, { model, weighting: "1/x^2" })
        .backCalculated()
        .map((point) => point.relativeErrorPercent);
    expect(Math.round(Math.min(...errors("linear")))).toBe(-28);
    expect(Math.round(Math.max(...errors("linear")))).toBe(16);
    for (const error of errors("weak")) expect(Math.abs(error)).toBeLessThan(1e-9);
  });

  it("its coefficients are those of the ionisation: C = r + r²/K_b", () => {
    const { coefficients } = calibrate(points, { model: "weak", weighting: "1/x^2", ion: "NH4+" });
    const perResponse = (AMMONIUM * 1000 * DILUTION) / (1000 * CONDUCTIVITY);
    expect(coefficients[0] / perResponse).toBeCloseTo(1, 9);
    expect(coefficients[1] / (perResponse / (1000 * CONDUCTIVITY * BASE_CONSTANT))).toBeCloseTo(1, 9);
  });

  it("a forward parabola misreads them by −8.2 to +4.2 % and has no inverse at the top", () => {
    const parabola = calibrate(points, { model: "quadratic", weighting: "1/x^2" });
    const found = parabola.backCalculated();
    const errors = found.slice(0, -1).map((point) => point.relativeErrorPercent);
    expect(Math.min(...errors)).toBeCloseTo(-8.2, 1);
    expect(Math.max(...errors)).toBeCloseTo(4.2, 1);
    expect(found[found.length - 1].found).toBeNaN();
    expect(codeOf(() => parabola.concentration(responses[responses.length - 1]))).toBe("no-inverse");
  });

  it("neither coefficient goes below zero, and the curve rises through zero", () => {
    // Bends the other way: the free fit would have a negative a2.
    const other = calibrate(pointsOf([1, 2, 4, 8], [1, 2.1, 4.5, 10]), { model: "weak", weighting: "1/x^2" });
    expect(other.coefficients[1]).toBe(0);
    expect(other.coefficients[0]).toBeGreaterThan(0);
    expect(other.standardErrors[1]).toBeGreaterThan(0);
    const curve = calibrate(points, { model: "weak", weighting: "1/x^2" });
    expect(curve.respond(0)).toBe(0);
    expect(curve.concentration(-0.1).value).toBeCloseTo(-curve.concentration(0.1).value, 12);
    expect(curve.respond(-0.05)).toBeCloseTo(-curve.respond(0.05), 12);
  });

  it("the smallest sum of squares wins where a bound acts", () => {
    // Purely quadratic data with a slightly negative a1 in the free fit.
    const x = [1, 4, 9, 16, 25].map((v) => v * 1.0);
    const y = [1.06, 2.02, 3.0, 3.99, 4.98];
    const curve = calibrate(pointsOf(x, y), { model: "weak" });
    expect(curve.coefficients[0]).toBe(0);
    const q = (a1: number, a2: number) =>
      x.reduce((sum, c, i) => sum + (a1 * y[i] + a2 * y[i] ** 2 - c) ** 2, 0);
    const best = q(curve.coefficients[0], curve.coefficients[1]);
    for (let a1 = 0; a1 <= 4; a1 += 0.05) {
      for (let a2 = 0; a2 <= 2; a2 += 0.01) expect(q(a1, a2)).toBeGreaterThanOrEqual(best - 1e-12);
    }
  });
});

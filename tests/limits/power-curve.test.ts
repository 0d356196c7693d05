import { describe, expect, it } from "vitest";
import { limitLadder } from "../../toolkit/limits/limit-ladder.js";
import { powerCurve } from "../../toolkit/limits/power-curve.js";
import { normalCdf } from "../../toolkit/numeric/special-functions.js";
import { codeOf } from "../calibration/published.js";
import { nitrite } from "./nitrite.js";

describe("the power of detection", () => {
  it("of a known σ is the normal distribution's: 5 % at zero, 50 % at x_C, 95 % at 3.29σ", () => {
    const curve = powerCurve({ standardDeviation: 2 });
    expect(curve.at(0).probability).toBeCloseTo(0.05, 10);
    expect(curve.at(curve.criticalValue).probability).toBeCloseTo(0.5, 10);
    expect(curve.detectionLimit / 2).toBeCloseTo(3.289707, 5);
    expect(curve.at(curve.detectionLimit).probability).toBeCloseTo(0.95, 10);
    expect(curve.at(5).probability).toBeCloseTo(normalCdf(2.5 - 1.6448536269514722), 10);
    expect(curve.at(5).low).toBe(curve.at(5).high);
  });

  it("of an estimated σ starts at α and meets 1 − β at δ·s: 4.067 at ν = 4 (Currie 1995, from memory)", () => {
    const curve = powerCurve({ standardDeviation: 1, dof: 4 });
    expect(curve.at(0)).toMatchObject({ concentration: 0 });
    expect(curve.at(0).probability).toBeCloseTo(0.05, 8);
    expect(curve.detectionLimit).toBeCloseTo(4.0673, 4);
    expect(curve.at(curve.detectionLimit).probability).toBeCloseTo(0.95, 8);
    const { low, probability, high } = curve.at(3);
    expect(low).toBeLessThan(probability);
    expect(probability).toBeLessThan(high);
  });

  it("rises along the whole curve, its band beside it", () => {
    const { points } = powerCurve({ standardDeviation: 1, dof: 9, relative: 0.1 });
    for (const [i, point] of points.entries()) {
      expect(point.low).toBeLessThanOrEqual(point.probability + 1e-9);
      expect(point.high).toBeGreaterThanOrEqual(point.probability - 1e-9);
      if (i > 0) expect(point.probability).toBeGreaterThanOrEqual(points[i - 1].probability - 1e-9);
    }
    expect(points.at(-1)?.probability).toBeGreaterThan(0.99);
  });

  it("asks for a higher content where the scatter grows with it: σ_c = √(σ² + (θc)²)", () => {
    const growing = powerCurve({ standardDeviation: 1, relative: 0.2 });
    const there = growing.detectionLimit;
    expect(there).toBeGreaterThan(3.2898);
    expect((there - growing.criticalValue) / Math.hypot(1, 0.2 * there)).toBeCloseTo(1.6448536, 6);
  });

  it("of a ladder is that of its blanks: x_C 0.0021, x_D 0.0041 of the nitrite example (handbook DETECTION §3)", () => {
    const curve = powerCurve(limitLadder({ ...nitrite, spikes: undefined }));
    expect(curve.criticalValue.toFixed(4)).toBe("0.0021");
    expect(curve.detectionLimit.toFixed(4)).toBe("0.0041");
    expect(String(curve)).toContain("power of detection of nitrite: 5 % of blanks");
  });

  it("computes the contents asked for and refuses what is none", () => {
    expect(powerCurve({ standardDeviation: 1, concentrations: [1, 2] }).points).toHaveLength(2);
    expect(codeOf(() => powerCurve({ standardDeviation: 0 }))).toBe("bad-spread");
    expect(codeOf(() => powerCurve({ standardDeviation: 1, relative: -1 }))).toBe("bad-spread");
    expect(codeOf(() => powerCurve({ standardDeviation: 1, relative: 0.7 }))).toBe("no-finite-limit");
    expect(codeOf(() => powerCurve({ standardDeviation: 1, alpha: 1 }))).toBe("bad-level");
    expect(codeOf(() => powerCurve({ standardDeviation: 1, dof: 0 }))).toBe("out-of-domain");
    expect(codeOf(() => powerCurve({ standardDeviation: 1, concentrations: [-1] }))).toBe(
      "negative-concentration",
    );
    expect(codeOf(() => powerCurve({ standardDeviation: 1, nu: 3 } as never))).toBe("unknown-option");
    expect(codeOf(() => powerCurve(3 as never))).toBe("bad-option");
    expect(codeOf(() => powerCurve(limitLadder({})))).toBe("bad-spread");
  });
});

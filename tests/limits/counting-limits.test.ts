import { describe, expect, it } from "vitest";
import { type CountingData, countingLimits } from "../../toolkit/limits/counting-limits.js";
import { codeOf, expectPublished, published, titleOf } from "../calibration/published.js";

const FILE = "t09_counting.json";

describe("limits of counting", () => {
  it.each(["iso11929_gross_background_w1", "iso11929_gross_background_w5"].map((id) => published(FILE, id)))(
    "$what [$source; $provenance]",
    (of) => {
      const { w, t_g, t_0, n_0, alpha, u_rel_w } = of.inputs as unknown as Record<string, number>;
      const found = countingLimits({
        backgroundCounts: n_0,
        backgroundTime: t_0,
        grossTime: t_g,
        factor: w,
        relativeUncertainty: u_rel_w,
        alpha,
        beta: alpha,
      });
      expect(titleOf(of)).toContain("ISO 11929");
      expectPublished(of, {
        decision_threshold: found.decisionThreshold,
        detection_limit: found.detectionLimit,
      });
    },
  );

  it("the example of handbook INTERPRET §5: 0.0176 and 0.0360 per second [computed there]", () => {
    const found = countingLimits({ backgroundCounts: 1980, backgroundTime: 7200, grossTime: 3600 });
    expect(found.decisionThreshold.toFixed(4)).toBe("0.0176");
    expect(found.detectionLimit.toFixed(4)).toBe("0.0360");
    expect(String(found)).toContain("decision threshold 0.0176 1/s");
  });

  it("α and β apart: y# lies k(1 − β)·u(y#) above y*", () => {
    const data = {
      backgroundCounts: 500,
      backgroundTime: 1000,
      grossTime: 500,
      factor: 3,
      relativeUncertainty: 0.1,
    };
    const { decisionThreshold, detectionLimit: y } = countingLimits({ ...data, alpha: 0.01, beta: 0.1 });
    const u = Math.sqrt(9 * ((y / 3 + 0.5) / 500 + 0.5 / 1000) + (0.1 * y) ** 2);
    expect((y - decisionThreshold) / u).toBeCloseTo(1.2815515655446004, 9);
  });

  it.each<[string, Partial<CountingData>]>([
    ["bad-count", { backgroundCounts: 0 }],
    ["bad-count", { grossTime: Number.NaN }],
    ["bad-count", { relativeUncertainty: -1 }],
    ["bad-level", { alpha: 0 }],
    ["no-finite-limit", { relativeUncertainty: 0.7 }],
  ])("%s: %o", (code, change) => {
    const data = { backgroundCounts: 10, backgroundTime: 10, grossTime: 10, ...change };
    expect(codeOf(() => countingLimits(data))).toBe(code);
  });
});

import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { type CalibrationLimitOptions, calibrationLimits } from "../../toolkit/limits/calibration-limits.js";
import { type CurrieOptions, currieLimits } from "../../toolkit/limits/currie-limits.js";
import { limitsInForce } from "../../toolkit/limits/limits-in-force.js";
import { methodDetectionLimit } from "../../toolkit/limits/method-detection-limit.js";
import { minimumReportingLevel } from "../../toolkit/limits/minimum-reporting-level.js";
import { codeOf, pointsOf } from "../calibration/published.js";

const seven = [1, 2, 3, 1, 2, 3, 2];
const line = pointsOf([0, 1, 2, 3, 4], [0.1, 1, 2.1, 2.9, 4]);

describe("limits refuse", () => {
  it("fewer than seven spikes or blanks, and readings that are none", () => {
    expect(codeOf(() => methodDetectionLimit({ fortified: seven.slice(1) }))).toBe("too-few-replicates");
    expect(codeOf(() => methodDetectionLimit({ fortified: seven, blanks: [0, 1, 2] }))).toBe(
      "too-few-replicates",
    );
    expect(codeOf(() => methodDetectionLimit({ fortified: [...seven, Number.NaN] }))).toBe("not-a-number");
    expect(codeOf(() => methodDetectionLimit({ fortified: seven, blanks: [Number.NaN, null] }))).toBe(
      "not-a-number",
    );
    expect(codeOf(() => minimumReportingLevel({ fortified: 1, found: [1, 1] }))).toBe("too-few-replicates");
    expect(codeOf(() => minimumReportingLevel({ fortified: 0, found: seven }))).toBe(
      "negative-concentration",
    );
  });

  it.each<[string, CurrieOptions]>([
    ["bad-spread", { blankStandardDeviation: 0 }],
    ["bad-spread", { blankStandardDeviation: -1 }],
    ["bad-sensitivity", { blankStandardDeviation: 1, sensitivity: 0 }],
    ["bad-level", { blankStandardDeviation: 1, alpha: 0 }],
    ["bad-level", { blankStandardDeviation: 1, beta: 0.6 }],
    ["bad-level", { blankStandardDeviation: 1, relativeStandardDeviation: 10 }],
    ["out-of-domain", { blankStandardDeviation: 1, dof: 0 }],
    ["counts-have-no-dof", { blankStandardDeviation: 1, dof: 4, counting: true }],
  ])("%s: %o", (code, options) => {
    expect(codeOf(() => currieLimits(options))).toBe(code);
  });

  it.each<[string, unknown]>([
    ["unknown-standard", { standard: "ISO 0" }],
    ["bad-level", { standard: "DIN 32645", alpha: 1 }],
    ["bad-replicates", { standard: "DIN 32645", replicates: 0 }],
    ["bad-level", { standard: "DIN 32645", relativeUncertainty: 3 }],
  ])("%s: %o", (code, options) => {
    expect(codeOf(() => calibrationLimits(line, options as CalibrationLimitOptions))).toBe(code);
  });

  it("a falling line, a line without a slope to speak of, and blanks that are no numbers", () => {
    const falling = pointsOf([0, 1, 2, 3], [3, 2, 1, 0]);
    expect(codeOf(() => calibrationLimits(falling, { standard: "ISO 11843-2" }))).toBe("falling-line");
    const noise = pointsOf([0, 1, 2, 3], [1, 3, 0.5, 2.6]);
    expect(codeOf(() => calibrationLimits(noise, { standard: "Hubaux-Vos" }))).toBe("no-finite-limit");
    expect(calibrationLimits(noise, { standard: "DIN 32645" }).quantificationLimit).toBeUndefined();
    expect(
      codeOf(() => limitsInForce({ calibration: calibrate(line), blankConcentrations: [Number.NaN] })),
    ).toBe("not-a-number");
  });
});

describe("limits doubt", () => {
  it("a calibration that starts far above its detection limit", () => {
    const far = pointsOf(
      [100, 101, 102, 103, 104],
      [100, 101, 102, 103, 104].map((x, i) => x + 1e-3 * (-1) ** i),
    );
    const found = calibrationLimits(far, { standard: "ISO 11843-2" });
    expect(found.doubts[0]).toContain("five detection limits");
    expect(String(found)).toContain("doubtful");
  });

  it("a slope that is not clearly above zero", () => {
    const found = calibrationLimits(pointsOf([0, 1, 2, 3], [1, 3, 0.5, 2.6]), { standard: "ISO 11843-2" });
    expect(found.doubts[0]).toContain("slope is not clearly above zero");
  });
});

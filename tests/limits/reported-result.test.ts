import { describe, expect, it } from "vitest";
import { limitText, reportedResult, roundedUp } from "../../toolkit/limits/reported-result.js";
import { sampleLimits } from "../../toolkit/limits/sample-limits.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import { codeOf } from "../calibration/published.js";

// Handbook DETECTION §6, the example [computed there]: x_C 0.0021, x_D 0.0042, x_Q 0.0109.
const limits = { criticalValue: 0.0021, detectionLimit: 0.0042, quantificationLimit: 0.0109 };
const of = (value: number, u = 0.0015) => measured(value, "mg/L", { u });

describe("a result is printed by its limits (handbook DETECTION §6)", () => {
  it("−0.0003 reads < 0.0042 (ND), its value kept; 0.0031 reads 0.0031 J; 0.0148 reads 0.0148 ± …", () => {
    expect(reportedResult(of(-0.0003), limits)).toMatchObject({ text: "< 0.0042", qualifier: "ND" });
    expect(reportedResult(of(0.0031), limits)).toMatchObject({ text: "0.0031 J", qualifier: "J" });
    // The handbook rounds to 0.015 ± 0.003; two figures of U are kept here, as everywhere (GUM 7.2.6).
    expect(reportedResult(of(0.0148), limits)).toMatchObject({ text: "0.0148 ± 0.0029", qualifier: "" });
  });

  it("diluted ten times all limits are tenfold: < 0.042", () => {
    const diluted = sampleLimits(limits, { dilution: 10 });
    expect(reportedResult(of(-0.003), diluted).text).toBe("< 0.042");
    expect(diluted.quantificationLimit).toBeCloseTo(0.109, 12);
  });

  it("prints < RL below a reporting limit, and tells what was detected nevertheless", () => {
    const contract = { ...limits, reportingLimit: 0.02 };
    expect(reportedResult(of(0.0148), contract)).toMatchObject({
      text: "< 0.020",
      below: "reporting limit",
      detectedBelowReporting: true,
      qualifier: "",
    });
    expect(reportedResult(of(0.001), contract)).toMatchObject({
      text: "< 0.020",
      detectedBelowReporting: false,
    });
    expect(reportedResult(of(0.03), contract).text).toBe("0.0300 ± 0.0029");
  });

  it("never prints zero nor the critical value", () => {
    for (const value of [-1, 0, 0.002]) expect(reportedResult(of(value), limits).text).toBe("< 0.0042");
  });

  it("rounds limits up to two figures, and only up", () => {
    expect([0.0021, 0.00211, 0.999, 1, 12.1, 123, 0].map(limitText)).toEqual([
      "0.0021",
      "0.0022",
      "1.0",
      "1.0",
      "13",
      "130",
      "0",
    ]);
    for (let i = 1; i < 400; i++) {
      const limit = 1.0417 ** i * 1e-4;
      expect(roundedUp(limit)).toBeGreaterThanOrEqual(limit * (1 - 1e-9));
      expect(roundedUp(limit)).toBeLessThan(limit * 1.1 + 1e-15);
    }
  });

  it("large values end at the place of their uncertainty", () => {
    const large = { criticalValue: 1, detectionLimit: 2, quantificationLimit: 5 };
    expect(reportedResult(of(1234, 130), large).text).toBe("1230 ± 250");
    expect(reportedResult(of(12, 0), large).text).toBe("12.00");
  });
});

describe("limits of one sample", () => {
  it("go with dilution, preparation and the noise under the peak, never below the reference noise", () => {
    const found = sampleLimits(limits, { dilution: 2, preparation: 10, noiseRatio: 1.5 });
    expect(found.detectionLimit).toBeCloseTo(0.0042 * 30, 12);
    expect(sampleLimits(limits, { noiseRatio: 0.5 })).toEqual(limits);
    expect(codeOf(() => sampleLimits(limits, { dilution: 0 }))).toBe("bad-factor");
    expect(codeOf(() => sampleLimits(limits, { diluted: 2 } as never))).toBe("unknown-option");
  });
});

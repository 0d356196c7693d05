import { describe, expect, it } from "vitest";
import { type BoundedResult, ratioWithBounds, sumWithBounds } from "../../toolkit/limits/sum-with-bounds.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import { codeOf } from "../calibration/published.js";

// Rules 6 and 9 of handbook DETECTION §6; the numbers are made up.
const of = (value: number, status = "quantified", unit = "mg/L"): BoundedResult => ({
  value: measured(value, unit, { u: 0.1 }, { source: "flask" }),
  unit,
  status,
  detectionLimit: 0.5,
});
const nothing: BoundedResult = {
  value: undefined,
  unit: "mg/L",
  status: "not measured",
  detectionLimit: undefined,
};

describe("sums and ratios with what was not detected", () => {
  it("a sum has both bounds and the raw sum, negative values included", () => {
    const { lower, upper, raw, notDetected } = sumWithBounds([
      { result: of(4), factor: 0.25 },
      { result: of(-0.1, "not detected"), factor: 2 },
      { result: of(3, "below quantification") },
    ]);
    expect(lower.value).toBeCloseTo(4, 12);
    expect(upper.value).toBeCloseTo(5, 12);
    expect(raw.value).toBeCloseTo(3.8, 12);
    expect(notDetected).toBe(1);
    // One flask behind all: the parts add up, they do not average out.
    expect(raw.u).toBeCloseTo(0.1 * 3.25, 12);
    expect(sumWithBounds([{ result: of(0, "not detected") }]).lower.value).toBe(0);
    expect(sumWithBounds([{ result: of(4), factor: 0.25 }], "mg/L as N").lower.unit).toBe("mg/L as N");
  });

  it("a ratio over what was not detected is a lower bound", () => {
    expect(ratioWithBounds(of(6), of(0.1, "not detected"))).toMatchObject({
      text: "> 12",
      above: 12,
      ratio: undefined,
    });
    expect(ratioWithBounds(of(6), of(2)).ratio?.value).toBeCloseTo(3, 12);
  });

  it("refuses what would hide something", () => {
    expect(codeOf(() => sumWithBounds([]))).toBe("no-terms");
    expect(codeOf(() => sumWithBounds([{ result: nothing }]))).toBe("not-measured");
    expect(codeOf(() => sumWithBounds([{ result: of(1), factor: 0 }]))).toBe("bad-factor");
    expect(codeOf(() => sumWithBounds([{ result: of(1) }, { result: of(1, "quantified", "mg/kg") }]))).toBe(
      "unit-mismatch",
    );
    expect(
      codeOf(() => sumWithBounds([{ result: { ...of(1, "not detected"), detectionLimit: undefined } }])),
    ).toBe("no-limit");
    expect(codeOf(() => ratioWithBounds(of(0, "not detected"), of(0, "not detected")))).toBe("no-ratio");
    expect(codeOf(() => ratioWithBounds(of(1), of(1, "quantified", "mg/kg")))).toBe("unit-mismatch");
  });
});

import { describe, expect, it } from "vitest";
import { leveneTest, varianceRatioTest } from "../../toolkit/calibration/tests-of-fit/variance-tests.js";
import { CHLORIDE } from "./chloride-example.js";
import { codeOf } from "./published.js";

describe("equal variances", () => {
  it("Levene about the medians gives p 0.10 for the chloride example (handbook CALIBRATION §5, computed there)", () => {
    const test = leveneTest(CHLORIDE.map(([, responses]) => responses));
    expect(test.p).toBeCloseTo(0.1, 2);
    expect([test.dfNumerator, test.dfDenominator]).toEqual([5, 12]);
    expect(test.passed).toBe(true);
    // scipy.stats.levene(center="median") on the same readings.
    expect(test.statistic).toBeCloseTo(2.3810532468912626, 9);
  });

  it("F of the extreme levels: 9² against the 99 % point of 9 and 9 degrees of freedom, 5.35 (F table, from memory)", () => {
    const unit = [-1, 1, -1, 1, -1, 1, -1, 1, -1, 1];
    const test = varianceRatioTest(
      unit,
      unit.map((value) => 100 + 9 * value),
    );
    expect(test.statistic).toBeCloseTo(81, 9);
    expect(test.critical).toBeCloseTo(5.35, 2);
    expect(test.passed).toBe(false);
    expect(test.verdict).toMatch(/weights/);
    expect(varianceRatioTest(unit, unit).passed).toBe(true);
  });

  it("refuses what cannot be compared", () => {
    expect(codeOf(() => leveneTest([[1, 2]]))).toBe("too-few-groups");
    expect(codeOf(() => leveneTest([[1, 2], [3]]))).toBe("too-few-groups");
    expect(
      codeOf(() =>
        leveneTest([
          [1, 1],
          [2, 2],
        ]),
      ),
    ).toBe("no-scatter");
    expect(codeOf(() => varianceRatioTest([1, 1], [2, 3]))).toBe("no-scatter");
    expect(codeOf(() => varianceRatioTest([1, Number.NaN], [2, 3]))).toBe("not-a-number");
    expect(
      codeOf(() =>
        leveneTest(
          [
            [1, 2],
            [2, 3],
          ],
          { significance: 5 },
        ),
      ),
    ).toBe("bad-option");
  });
});

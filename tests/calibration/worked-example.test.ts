import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { fiellerInterval } from "../../toolkit/calibration/curve/fieller.js";
import { fitTests } from "../../toolkit/calibration/curve/fit-tests.js";
import { cochranTest } from "../../toolkit/calibration/tests-of-fit/variance-homogeneity.js";

// Chloride, three areas a level, and all figures: handbook CALIBRATION §3, §5 and §7, computed there (made-up data).
const LEVELS: readonly (readonly [number, readonly number[]])[] = [
  [0.1, [0.0243, 0.0251, 0.0236]],
  [0.5, [0.1229, 0.1204, 0.1217]],
  [2, [0.4871, 0.4803, 0.4922]],
  [5, [1.2305, 1.2121, 1.2214]],
  [10, [2.4702, 2.4329, 2.4466]],
  [20, [4.871, 4.9441, 4.9073]],
];
const points = LEVELS.flatMap(([concentration, responses]) =>
  responses.map((response) => ({ concentration, response })),
);

const COLUMNS = [
  {
    weighting: "none",
    b0: -0.00285,
    b1: 0.245434,
    s_b1: 0.00051,
    r2: 0.99993,
    // The handbook prints +10.8 for the first, which its rounded coefficients give (below); numpy gives 10.746.
    errors: [10.7, 1.5, -0.3, -0.2, -0.1, 0],
    rse: 4.88,
    lackOfFit: 0.07,
    curvature: [0.24, 0.63],
  },
  {
    weighting: "1/x",
    b0: -0.00045,
    b1: 0.245051,
    s_b1: 0.00044,
    r2: 0.99995,
    errors: [1.1, -0.3, -0.6, -0.3, 0, 0.1],
    rse: 1.43,
    lackOfFit: 0.33,
    curvature: [1.27, 0.28],
  },
  {
    weighting: "1/x^2",
    b0: -0.00012,
    b1: 0.244355,
    s_b1: 0.0009,
    r2: 0.99978,
    errors: [0.1, -0.3, -0.4, 0, 0.3, 0.4],
    rse: 1.35,
    lackOfFit: 0.17,
    curvature: [0.72, 0.41],
  },
] as const;

describe("the chloride example of handbook CALIBRATION §3 [computed there]", () => {
  it.each(COLUMNS)("weights $weighting", (column) => {
    const line = calibrate(points, { weighting: column.weighting, ion: "Cl-" });
    expect(line.coefficients[0]).toBeCloseTo(column.b0, 5);
    expect(line.coefficients[1]).toBeCloseTo(column.b1, 6);
    expect(line.standardErrors[1]).toBeCloseTo(column.s_b1, 5);
    expect(line.rSquared).toBeCloseTo(column.r2, 5);
    const errors = line.backCalculated().map((point) => point.relativeErrorPercent);
    column.errors.forEach((printed, j) => {
      const mean = (errors[3 * j] + errors[3 * j + 1] + errors[3 * j + 2]) / 3;
      expect(Math.abs(mean - printed)).toBeLessThanOrEqual(0.0501);
    });
    expect(line.relativeStandardErrorPercent).toBeCloseTo(column.rse, 2);
    const lack = line.lackOfFit();
    expect(lack?.F).toBeCloseTo(column.lackOfFit, 2);
    expect([lack?.dfNumerator, lack?.dfDenominator]).toEqual([4, 12]);
    const curvature = line.mandel();
    expect(curvature.F).toBeCloseTo(column.curvature[0], 2);
    expect(curvature.p).toBeCloseTo(column.curvature[1], 2);
    expect([curvature.dfNumerator, curvature.dfDenominator]).toEqual([1, 15]);
  });

  it("has unequal variances without weights: Cochran 0.736 against 0.616 (5 %) and 0.722 (1 %), §5", () => {
    const { C, critical5Percent, critical1Percent } = cochranTest(LEVELS.map(([, responses]) => responses));
    expect(C).toBeCloseTo(0.736, 3);
    expect(critical5Percent).toBeCloseTo(0.616, 3);
    expect(critical1Percent).toBeCloseTo(0.722, 3);
    const judged = (weighting: "none" | "1/x^2") =>
      fitTests(calibrate(points, { weighting })).find((row) => row.test.startsWith("equal variances"))
        ?.passed;
    expect(judged("none")).toBe(false);
    expect(judged("1/x^2")).toBe(true);
  });

  it("reads two areas of mean 0.2150 as 0.8804 ± 0.00887 with 1/x² weights, 0.8616…0.8992, §7", () => {
    const line = calibrate(points, { weighting: "1/x^2" });
    expect(line.residualStandardDeviation).toBeCloseTo(0.003289, 6);
    const found = line.concentration([0.2145, 0.2155]);
    expect(found.value).toBeCloseTo(0.8804, 4);
    expect(found.u).toBeCloseTo(0.00887, 5);
    expect(found.dof).toBeCloseTo(16, 9);
    const { low, high, k } = found.interval();
    expect(k).toBeCloseTo(2.12, 3);
    expect(low).toBeCloseTo(0.8616, 4);
    expect(high).toBeCloseTo(0.8992, 4);
    const fieller = fiellerInterval(line, [0.2145, 0.2155]);
    expect(fieller.g).toBeCloseTo(6e-5, 5);
    expect(fieller.low).toBeCloseTo(0.8616, 4);
    expect(fieller.high).toBeCloseTo(0.8992, 4);
  });

  it("and as 0.8876 ± 0.0476 without weights, §7", () => {
    const found = calibrate(points).concentration([0.2145, 0.2155]);
    expect(found.value).toBeCloseTo(0.8876, 4);
    expect(found.u).toBeCloseTo(0.0476, 4);
  });

  it("reads +10.8 % at the lowest level from the printed coefficients −0.00285 and 0.245434, §3", () => {
    const mean = (0.0243 + 0.0251 + 0.0236) / 3;
    expect(1000 * ((mean + 0.00285) / 0.245434 - 0.1)).toBeCloseTo(10.8, 1);
    const [b0, b1] = calibrate(points).coefficients;
    expect([b0.toFixed(5), b1.toFixed(6)]).toEqual(["-0.00285", "0.245434"]);
  });

  it("says what it is", () => {
    const text = String(calibrate(points, { weighting: "1/x^2", ion: "Cl-" }));
    expect(text).toContain("chloride: y = b0 + b1·x, weights 1/x^2");
    expect(text).toContain("b1 = 0.244355");
    expect(text).toContain("18 readings from 0.1 to 20 mg/L");
  });
});

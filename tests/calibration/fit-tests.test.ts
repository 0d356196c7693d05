import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { fitTests } from "../../toolkit/calibration/curve/fit-tests.js";
import { residualRuns } from "../../toolkit/calibration/tests-of-fit/residual-runs.js";
import { cochranCritical, cochranTest } from "../../toolkit/calibration/tests-of-fit/variance-homogeneity.js";
import { fisherQuantile } from "../../toolkit/numeric/distributions.js";
import { codeOf, expectPublished, pointsOf, published, readReference, titleOf } from "./published.js";

const FILE = "t10_qc_comparison.json";

describe("lack of fit", () => {
  const massart = published(FILE, "massart_lack_of_fit");
  it(titleOf(massart), () => {
    const { replicates } = massart.inputs as unknown as { replicates: Record<string, readonly number[]> };
    const points = Object.entries(replicates).flatMap(([level, responses]) =>
      responses.map((response) => ({ concentration: Number(level), response })),
    );
    const line = calibrate(points);
    const found = line.lackOfFit();
    if (!found) throw new Error("the data have replicates");
    const residual = line.residualStandardDeviation ** 2 * line.dof;
    const { F, dfNumerator, dfDenominator } = found;
    // Q = Q_pe + Q_lof and F fix the two parts.
    const pureError = residual / (1 + (F * dfNumerator) / dfDenominator);
    expectPublished(massart, {
      ss_residual: residual,
      ss_pure_error: pureError,
      ss_lack_of_fit: residual - pureError,
      F,
      df: [dfNumerator, dfDenominator],
      F_crit_95: fisherQuantile(0.95, dfNumerator, dfDenominator),
    });
    expect(fitTests(line).find((row) => row.test === "lack of fit")?.passed).toBe(false);
  });

  const cadmium = readReference<{
    source: string;
    provenance: string;
    x: number[];
    y: number[];
    expected: { intercept: number; slope: number; s_yx: number; lack_of_fit: { F: number; p: number } };
  }>("epa_cadmium_calibration.json");
  it(`cadmium by mass spectrometry, 35 readings [${cadmium.source}; ${cadmium.provenance}]`, () => {
    const line = calibrate(pointsOf(cadmium.x, cadmium.y));
    expect(line.coefficients[0]).toBeCloseTo(cadmium.expected.intercept, 6);
    expect(line.coefficients[1]).toBeCloseTo(cadmium.expected.slope, 7);
    expect(line.residualStandardDeviation).toBeCloseTo(cadmium.expected.s_yx, 6);
    expect(line.lackOfFit()?.F).toBeCloseTo(cadmium.expected.lack_of_fit.F, 3);
    expect(line.lackOfFit()?.p).toBeCloseTo(cadmium.expected.lack_of_fit.p, 4);
  });

  it("takes 0.1·3 and 0.3 for one level", () => {
    const points = [1, 2, 4].flatMap((c) => [
      { concentration: c * 0.1 * 3, response: c },
      { concentration: c * 0.3, response: c + 0.02 },
    ]);
    expect(points[0].concentration).not.toBe(points[1].concentration);
    expect(calibrate(points).lackOfFit()?.dfDenominator).toBe(3);
  });

  it("is not asked without replicates, nor of replicates without scatter", () => {
    const single = [1, 2, 3, 4].map((x) => ({ concentration: x, response: x + (x % 2) / 100 }));
    expect(calibrate(single).lackOfFit()).toBeUndefined();
    const doubled = [...single, ...single];
    expect(calibrate(doubled).lackOfFit()).toBeUndefined();
  });
});

describe("curvature", () => {
  const iso = published(FILE, "mandel_fitting_test_straight");
  it(titleOf(iso), () => {
    const { x, y } = iso.inputs as unknown as Record<"x" | "y", readonly number[]>;
    const line = calibrate(pointsOf(x, y));
    const parabola = calibrate(pointsOf(x, y), { model: "quadratic" });
    const test = line.mandel();
    expectPublished(iso, {
      ss_linear: line.residualStandardDeviation ** 2 * line.dof,
      ss_quadratic: parabola.residualStandardDeviation ** 2 * parabola.dof,
      test_value: test.F,
    });
    // scipy, recorded with the case.
    expect(test.critical).toBeCloseTo(12.246383348435081, 8);
    expect(test.relevant).toBe(false);
  });

  it("significant but below 2 % of any level is not relevant (common practice, no source)", () => {
    const x = [1, 2, 4, 6, 8, 10, 12];
    const slight = calibrate(
      pointsOf(
        x,
        x.map((c, i) => c * (1 + 0.0005 * c) + 1e-5 * (-1) ** i),
      ),
    );
    const test = slight.mandel();
    expect(test.F).toBeGreaterThan(test.critical);
    expect(test.largestDifferencePercent).toBeLessThan(2);
    expect(test.relevant).toBe(false);
  });

  it("is not found in exact lines and cannot be asked of three readings", () => {
    const exact = calibrate(pointsOf([1, 2, 5, 10, 20], [0.3, 0.6, 1.5, 3, 6]));
    expect(exact.mandel().F).toBe(0);
    const three = calibrate(pointsOf([1, 2, 5], [0.3, 0.61, 1.5])).mandel();
    expect(three.F).toBeNaN();
    expect(three.relevant).toBe(false);
    expect(
      fitTests(calibrate(pointsOf([1, 2, 5], [0.3, 0.61, 1.5]))).some((row) => /Mandel/.test(row.test)),
    ).toBe(false);
  });
});

describe("equal variances (Cochran)", () => {
  const table = published(FILE, "cochran_critical_a");
  it(titleOf(table), () => {
    const { p, n } = table.inputs as unknown as Record<"p" | "n", readonly number[]>;
    expectPublished(table, {
      C_5pct: p.map((groups, i) => cochranCritical(0.05, groups, n[i])),
      C_1pct: p.map((groups, i) => cochranCritical(0.01, groups, n[i])),
    });
  });

  it("its p meets 5 % at the 5 % point", () => {
    // Two groups of three: C = 0.975 is the table's 5 % point (ISO 5725-2:1994 table 4, from memory).
    const [a, b] = [Math.sqrt(0.975), Math.sqrt(0.025)];
    const test = cochranTest([
      [-a, 0, a],
      [-b, 0, b],
    ]);
    expect(test.C).toBeCloseTo(0.975, 10);
    expect(test.critical5Percent).toBeCloseTo(0.975, 4);
    expect(test.p).toBeCloseTo(0.05, 4);
  });

  it("is judged at 1 % and marked at 5 %, with its source", () => {
    const spread = (s: number) => [-s, 0, s];
    const verdictOf = (s: number) => cochranTest([spread(s), ...Array.from({ length: 5 }, () => spread(1))]);
    // Six groups of three: 0.616 at 5 %, 0.722 at 1 % (ISO 5725-2:1994 table 4, as handbook CALIBRATION §5 prints them).
    for (const [C, passed, words] of [
      [0.6, true, "scatter alike"],
      [0.65, true, "straggler"],
      [0.73, false, "stands out"],
    ] as const) {
      const test = verdictOf(Math.sqrt((5 * C) / (1 - C)));
      expect(test).toMatchObject({ kind: "judged-test", passed, statistic: test.C });
      expect(test.C).toBeCloseTo(C, 10);
      expect(String(test)).toContain(words);
      expect(test.source).toContain("ISO 5725-2");
    }
  });

  it("refuses single readings and identical ones", () => {
    expect(codeOf(() => cochranTest([[1, 2], [3]]))).toBe("too-few-groups");
    expect(
      codeOf(() =>
        cochranTest([
          [1, 1],
          [3, 3],
        ]),
      ),
    ).toBe("no-scatter");
  });
});

describe("runs of residual signs (F. S. Swed and C. Eisenhart, Ann. Math. Statist. 14 (1943) 66, from memory)", () => {
  const signs = (text: string) => [...text].map((c) => (c === "+" ? 1 : -1));

  it("five and five in two runs: 2 of the 252 orders", () => {
    expect(residualRuns(signs("+++++-----"))).toEqual({ runs: 2, longestRun: 5, p: 2 / 252 });
  });

  it("five and five in three runs: 10 of the 252 orders", () => {
    expect(residualRuns(signs("++-----+++")).p).toBeCloseTo(10 / 252, 12);
  });

  it("as many runs as possible are no pattern", () => {
    expect(residualRuns(signs("+-+-+-+-")).p).toBe(1);
    expect(residualRuns([0.1, 0.2, 0.1]).p).toBe(1);
  });
});

describe("tests of fit of a good and of a bad curve", () => {
  const x = [0.1, 0.3, 1, 3, 10, 30];
  const jitter = [1, -1, 1, 1, -1, -1];

  it("a straight response with 1/x² weights passes all", () => {
    const points = [0, 1].flatMap((r) =>
      x.map((c, i) => ({ concentration: c, response: 0.25 * c * (1 + 0.004 * jitter[(i + r) % 6]) })),
    );
    const rows = fitTests(calibrate(points, { weighting: "1/x^2" }));
    expect(rows.map((row) => row.passed)).not.toContain(false);
    expect(rows.length).toBe(7);
    expect(rows.every((row) => row.source.length > 0)).toBe(true);
  });

  it("a straight line through a weak base's response fails back-calculation and curvature", () => {
    const points = x.map((c) => ({
      concentration: c,
      response: (2 * c) / (1.6 + Math.sqrt(1.6 ** 2 + 0.2 * c)),
    }));
    const failed = fitTests(calibrate(points, { weighting: "1/x^2" })).filter((row) => !row.passed);
    expect(failed.map((row) => row.test)).toEqual(
      expect.arrayContaining(["curvature (Mandel)", "back-calculated error above the lowest level, %"]),
    );
  });
});

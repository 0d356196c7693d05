import { describe, expect, it, test } from "vitest";
import { analysisOfVariance } from "../../toolkit/calibration/tests-of-fit/analysis-of-variance.js";
import {
  allowance,
  digits,
  originOf,
  publishedCase,
  publishedCases,
  readReference,
} from "../numeric/reference.js";

const QC = "t10_qc_comparison.json";

interface Pattern {
  readonly first: number;
  readonly then_alternating: readonly [number, number];
  readonly count: number;
}

/** Large sets repeat two readings and are stored as that. */
function groupsOf(file: string): readonly (readonly number[])[] {
  const stored = readReference<{ groups?: number[][]; groups_pattern?: Pattern[] }>(file);
  return (
    stored.groups ??
    (stored.groups_pattern ?? []).map(({ first, then_alternating, count }) =>
      Array.from({ length: count }, (_, i) => (i === 0 ? first : then_alternating[(i - 1) % 2])),
    )
  );
}

describe("certified analyses of variance", () => {
  const cases = publishedCases("t03_univariate_anova_strd.json").filter(({ expected }) => "F" in expected);
  it("are the eight of the collection", () => expect(cases).toHaveLength(8));

  test.each(cases)("$id [$source; $provenance]", ({ inputs, expected }) => {
    const groups = groupsOf(inputs.data_file as string);
    const found = analysisOfVariance(groups);
    // A reading of 1e12 is stored to 1e-4: its deviations of 0.1 have three digits, whatever is computed from them.
    const spacing = Number.EPSILON * Math.abs(found.grandMean);
    const fewest = Math.min(13, -Math.log10(spacing / (expected.residual_sd as number)) - 1);
    const pairs = [
      [found.sumOfSquaresBetween, expected.ss_between],
      [found.meanSquareBetween, expected.ms_between],
      [found.sumOfSquaresWithin, expected.ss_within],
      [found.meanSquareWithin, expected.ms_within],
      [found.statistic, expected.F],
      [found.rSquared, expected.r_squared],
      [found.repeatabilityStandardDeviation, expected.residual_sd],
    ] as [number, number][];
    for (const [value, certified] of pairs) expect(digits(value, certified)).toBeGreaterThan(fewest);
    expect([found.dfBetween, found.dfWithin]).toEqual([expected.df_between, expected.df_within]);
  });
});

describe("published analyses of variance", () => {
  const storage = publishedCase(QC, "miller_anova_storage");
  it(`fluorescence under four storage conditions [${originOf(storage)}]`, () => {
    const found = analysisOfVariance(storage.inputs.groups as number[][]);
    const expected = storage.expected as Record<string, number>;
    const within = (value: number, key: string): void =>
      expect(Math.abs(value - expected[key]), key).toBeLessThanOrEqual(
        allowance(storage, key, expected[key]),
      );
    within(found.meanSquareBetween, "ms_between");
    within(found.meanSquareWithin, "ms_within");
    within(found.statistic, "F");
    within(found.critical ?? 0, "F_crit_95");
    expect(found.passed).toBe(false);
  });

  const even = publishedCase(QC, "anova_equal_groups_metrology");
  it(`four groups that do not differ [${originOf(even)}]`, () => {
    const found = analysisOfVariance(even.inputs.groups as number[][]);
    const expected = even.expected as Record<string, number>;
    const within = (value: number, key: string): void =>
      expect(Math.abs(value - expected[key]), key).toBeLessThanOrEqual(allowance(even, key, expected[key]));
    within(found.statistic, "F");
    within(found.p ?? 0, "p");
    within(found.critical ?? 0, "F_crit_95");
    within(found.repeatabilityStandardDeviation, "pooled_sd");
    expect(found.passed).toBe(true);
    expect(found.betweenStandardDeviation).toBe(0);
  });

  test.each(["astm_e691_glucose_A", "astm_e691_glucose_E"])(
    "repeatability and reproducibility of %s",
    (id) => {
      const glucose = publishedCase(QC, id);
      const found = analysisOfVariance(glucose.inputs.results as number[][]);
      const expected = glucose.expected as Record<string, number>;
      const within = (value: number, key: string): void =>
        expect(Math.abs(value - expected[key]), `${key} [${originOf(glucose)}]`).toBeLessThanOrEqual(
          allowance(glucose, key, expected[key]),
        );
      within(found.grandMean, "mean");
      within(found.repeatabilityStandardDeviation, "s_r");
      within(found.intermediateStandardDeviation, "s_R");
    },
  );

  it("refuses a lone group, equal readings and an unknown option by name", () => {
    const code = (call: () => unknown): unknown => {
      try {
        return call();
      } catch (error) {
        return (error as { code?: string }).code;
      }
    };
    expect(code(() => analysisOfVariance([[1, 2]]))).toBe("too-few-groups");
    expect(
      code(() =>
        analysisOfVariance([
          [1, 1],
          [2, 2],
        ]),
      ),
    ).toBe("no-scatter");
    expect(
      code(() =>
        analysisOfVariance([
          [1, 2],
          [2, Number.NaN],
        ]),
      ),
    ).toBe("not-a-number");
    expect(
      code(() =>
        analysisOfVariance(
          [
            [1, 2],
            [2, 3],
          ],
          { alpha: 0.05 } as never,
        ),
      ),
    ).toBe("unknown-option");
  });
});

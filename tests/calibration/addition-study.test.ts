// Standard addition in full, against published values and laws.
import { describe, expect, it } from "vitest";
import {
  type AdditionStudyOptions,
  studyStandardAddition,
} from "../../toolkit/calibration/addition/addition-study.js";
import { standardAddition } from "../../toolkit/calibration/addition/standard-addition.js";
import { studentQuantile } from "../../toolkit/numeric/distributions.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import { codeOf, expectPublished, published, titleOf } from "./published.js";

const FILE = "t04_calibration.json";
const silver = published(FILE, "miller_standard_addition_silver");
const { added, signal } = silver.inputs as unknown as Record<"added" | "signal", readonly number[]>;
const SILVER = added.map((x, i) => ({ added: x, response: signal[i] }));
/** Handbook of the laboratory, Calibration 8. */
const FOUR = [0.512, 0.748, 0.991, 1.226].map((response, x) => ({ added: x, response }));
const close = (a: number, b: number, part: number) => expect(Math.abs(a / b - 1)).toBeLessThan(part);

describe("a standard addition in full", () => {
  it(titleOf(silver), () => {
    const study = studyStandardAddition(SILVER);
    expectPublished(silver, {
      slope: study.slope,
      intercept: study.intercept,
      x_e: study.concentration.value,
      s_yx: study.residualStandardDeviation,
      s_xe: study.concentration.u,
      ci_halfwidth: study.concentration.interval().high - study.concentration.value,
    });
    expect(study.curvature.relevant).toBe(false);
  });

  it("gives c 2.145, u 0.017 and a slope ratio of 0.975 for the handbook's four additions [computed there]", () => {
    // The handbook's external slope: the weighted line of its chloride data, 0.24446, u 0.0009.
    const externalSlope = measured(0.24446, "1", { u: 0.0009 });
    const study = studyStandardAddition(FOUR, { externalSlope });
    expect(study.concentration.value).toBeCloseTo(2.145, 3);
    expect(study.concentration.u).toBeCloseTo(0.017, 3);
    expect(study.slopeRatio?.value).toBeCloseTo(0.975, 2);
    const matrix = study.checks.find(({ name }) => name === "matrix effect");
    expect(matrix?.passed).toBe(
      Math.abs((study.slopeRatio?.value ?? 1) - 1) <= 2 * (study.slopeRatio?.u ?? 0),
    );
    expect(matrix?.passed).toBe(false);
  });

  it("has Fieller's interval where it says: there the line's distance from zero is t of its own uncertainty", () => {
    const study = studyStandardAddition(SILVER);
    const t = studentQuantile(0.975, study.dof);
    const n = added.length;
    const mean = added.reduce((a, b) => a + b, 0) / n;
    const spread = added.reduce((a, b) => a + (b - mean) ** 2, 0);
    for (const c of [study.interval?.low ?? 0, study.interval?.high ?? 0]) {
      const height = Math.abs(study.intercept - c * study.slope);
      const s = study.residualStandardDeviation * Math.sqrt(1 / n + (c + mean) ** 2 / spread);
      close(height, t * s, 1e-9);
    }
  });

  it("takes a blank off and carries its u, one for all points", () => {
    const blank = measured(0.02, "1", { u: 0.004 }, { source: "blank" });
    const plain = studyStandardAddition(FOUR);
    const study = studyStandardAddition(FOUR, { blank });
    close(study.concentration.value, plain.concentration.value - 0.02 / plain.slope, 1e-9);
    const lower = standardAddition(FOUR.map((each) => ({ ...each, response: each.response - 0.02 })));
    close(study.concentration.u, Math.hypot(lower.u, 0.004 / plain.slope), 1e-9);
    expect(study.checks.find(({ name }) => name === "blank")?.passed).toBe(true);
    expect(plain.checks.find(({ name }) => name === "blank")?.passed).toBe(false);
  });

  it("sees a bent response, a top addition that is too small, and a missing sample", () => {
    const bent = [0, 1, 2, 3, 4, 5, 6].map((x) => ({ added: x, response: 0.5 + 0.25 * x - 0.012 * x * x }));
    const failed = (points: typeof bent, name: string) =>
      studyStandardAddition(points).checks.find((check) => check.name === name)?.passed === false;
    expect(failed(bent, "straight line")).toBe(true);
    expect(
      failed(
        FOUR.map((each) => ({ ...each, response: each.response + 1 })),
        "size of the top addition",
      ),
    ).toBe(true);
    expect(failed(FOUR.slice(1).concat([{ added: 4, response: 1.46 }]), "sample without addition")).toBe(
      true,
    );
    expect(failed(FOUR, "straight line")).toBe(false);
  });

  it.each<readonly [string, string, () => unknown]>([
    [
      "all additions alike",
      "too-few-levels",
      () => standardAddition([1, 1, 1].map((x) => ({ added: x, response: 1 }))),
    ],
    ["an unknown option", "unknown-option", () => standardAddition(FOUR, { units: "mg/L" } as never)],
    [
      "an unknown option of the study",
      "unknown-option",
      () => studyStandardAddition(FOUR, { slope: 1 } as never),
    ],
    [
      "a plain number for the slope",
      "bad-option",
      () => studyStandardAddition(FOUR, { externalSlope: 0.24 } as unknown as AdditionStudyOptions),
    ],
    ["NaN", "not-a-number", () => studyStandardAddition([...FOUR, { added: Number.NaN, response: 1 }])],
    ["a hole in the list", "not-a-number", () => standardAddition([...FOUR, undefined as never])],
    ["no list", "too-few-points", () => studyStandardAddition(undefined as never)],
  ])("refuses %s", (_, code, call) => {
    expect(codeOf(call)).toBe(code);
  });
});

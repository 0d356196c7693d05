import { describe, expect, it } from "vitest";
import { chooseCalibration } from "../../toolkit/calibration/choice/choose-calibration.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { CHLORIDE_POINTS } from "./chloride-example.js";
import { codeOf, pointsOf } from "./published.js";

const LEVELS = [0.1, 0.25, 0.6, 1.2, 2.5, 5, 10, 20];
const weakBase = (x: number) => (2 * x) / (4 + Math.sqrt(16 + 4 * 1.259 * x));

/** Made-up standards, three of each. */
function standards(respond: (x: number) => number, scatter: (y: number) => number, seed: number) {
  const random = createRandom(seed);
  return LEVELS.flatMap((concentration) =>
    [0, 1, 2].map(() => {
      const y = respond(concentration);
      return { concentration, response: y + scatter(y) * random.normal() };
    }),
  );
}

describe("the simplest calibration that passes", () => {
  it("is a weighted line for the chloride example, though the unweighted line has the better r²", () => {
    const choice = chooseCalibration(CHLORIDE_POINTS, { ion: "Cl-" });
    expect(choice.accepted).toBe(true);
    expect(choice.calibration.model).toBe("linear");
    // As handbook CALIBRATION §5 decides: variances differ and grow, so the fit is weighted.
    expect(choice.calibration.weighting).not.toBe("none");
    expect(choice.reason).toMatch(
      /^A straight line is the simplest model and passes all tests of fit\. Weights/,
    );
    expect(choice.reason).toContain("Cochran's C 0.736 against 0.616 excludes equal variances");
    expect(choice.calibration.reason).toBe(choice.reason);
    expect(String(choice)).toContain("→ linear");
  });

  it.each([1, 2, 3])(
    "is the weak curve for ammonium, not a parabola, and says what the line fails (seed %i)",
    (seed) => {
      const choice = chooseCalibration(
        standards(weakBase, (y) => 0.008 * y, seed),
        { ion: "NH4+" },
      );
      expect(choice.calibration.model).toBe("weak");
      expect(choice.accepted).toBe(true);
      expect(choice.reason).toMatch(/a straight line fails .*curvature \(Mandel\)/);
      expect(choice.tried.filter(({ chosen }) => chosen).map(({ model }) => model)).toEqual(["weak"]);
    },
  );

  it.each([1, 2, 3])("has weights that follow the scatter: none where it is even (seed %i)", (seed) => {
    const even = chooseCalibration(
      standards(
        (x) => 0.01 + 0.25 * x,
        () => 0.0008,
        seed,
      ),
      { ion: "Cl-" },
    );
    const relative = chooseCalibration(
      standards(
        (x) => 0.25 * x,
        (y) => 0.01 * y,
        seed,
      ),
      { ion: "Cl-" },
    );
    expect(even.calibration.weighting).toBe("none");
    expect(relative.calibration.weighting).toBe("1/x^2");
  });

  it("goes through zero only with a clean blank and an intercept that is none", () => {
    const through = standards(
      (x) => 0.25 * x,
      (y) => 0.01 * y,
      1,
    );
    const lifted = standards(
      (x) => 0.02 + 0.25 * x,
      (y) => 0.01 * y,
      1,
    );
    const model = (points: typeof through, blankIsClean: boolean) =>
      chooseCalibration(points, { ion: "Cl-", blankIsClean }).calibration.model;
    expect(model(through, false)).toBe("linear");
    expect(model(through, true)).toBe("through-zero");
    expect(model(lifted, true)).toBe("linear");
  });

  it("is named as not accepted where nothing passes", () => {
    const wild = [1, 1.6, 0.8, 2.4, 1.9, 4, 3.1, 8];
    const choice = chooseCalibration(
      pointsOf(
        LEVELS,
        LEVELS.map((x, i) => 0.25 * x * wild[i]),
      ),
      { ion: "Cl-" },
    );
    expect(choice.accepted).toBe(false);
    expect(choice.reason).toMatch(/^No model passes/);
    for (const { against } of choice.tried) expect(against.length).toBeGreaterThan(0);
  });

  it("weights a wide range without replicates by 1/x², a narrow one not (common practice, no source)", () => {
    const line = (x: readonly number[]) =>
      pointsOf(
        x,
        x.map((c, i) => 0.25 * c * (1 + 0.004 * (-1) ** i)),
      );
    expect(chooseCalibration(line(LEVELS), { ion: "Cl-" }).calibration.weighting).toBe("1/x^2");
    expect(chooseCalibration(line([2, 3, 4, 6, 8, 10]), { ion: "Cl-" }).calibration.weighting).toBe("none");
  });

  it("refuses what cannot be calibrated, and options nobody reads", () => {
    expect(codeOf(() => chooseCalibration(pointsOf([1, 2], [1, 2])))).toBe("too-few-points");
    expect(codeOf(() => chooseCalibration(pointsOf([1, 2, 3], [3, 2, 1])))).toBe("falling-line");
    expect(codeOf(() => chooseCalibration(CHLORIDE_POINTS, { wieghts: "none" } as never))).toBe(
      "unknown-option",
    );
    expect(codeOf(() => chooseCalibration(CHLORIDE_POINTS, { criteria: { rse: 1 } } as never))).toBe(
      "unknown-option",
    );
  });
});

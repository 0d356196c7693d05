// The covariance of planned standards against handling the same glassware many times (issue: within 2 %).
// Full size, seeds 1, 2 and 3: tests/score/standards-covariance.test.ts.
import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { prepareStandards } from "../../toolkit/standards/prepare-standards.js";
import { correlation, covariance } from "../../toolkit/uncertainty/measured.js";
import { LEVELS, largestDifferencePercent, RECIPE, simulatedCovariance } from "./glassware-simulation.js";

const prepared = prepareStandards(RECIPE, { ions: ["chloride", "nitrate"] });

describe("the covariance of planned standards", () => {
  it("equals that of the same glassware handled 250 000 times, within 2 %, between levels and between ions", () => {
    const { rows, matrix } = prepared.covariance();
    expect(rows.map(({ solution }) => solution)).toEqual([...LEVELS, ...LEVELS]);
    const { percent, pairs } = largestDifferencePercent(matrix, simulatedCovariance(250_000, 1), 0.3);
    expect(pairs).toBeGreaterThan(15);
    expect(percent).toBeLessThan(2);
  });

  it("holds what levels of one stock, one mixture and one pipette share, and nothing else", () => {
    const [first, second] = ["level 1", "level 2"].map((name) => prepared.concentration(name, "nitrate"));
    const shared = first.value * second.value;
    // u²(certificate) + u²(pipetting 5 mL) + u²(flask of the mixture), relative; the temperature of a day cancels.
    const pipetting = (0.015 ** 2 / 6 + 0.003 ** 2) / 5 ** 2;
    const flask = (0.1 ** 2 / 6 + 0.02 ** 2) / 100 ** 2;
    expect(covariance(first, second) / shared).toBeCloseTo((6 / 2000) ** 2 + pipetting + flask, 9);
  });

  it("leaves two flasks filled from one pipette correlated, and pieces of their own not", () => {
    const lone = (pieces: "one" | "each") => {
      const flask = { ...RECIPE.solutions[1].flask, pieces };
      const solutions = ["a", "b"].map((name) => ({ ...RECIPE.solutions[1], name, flask }));
      const certified = {
        name: "stock",
        contents: [{ ion: "nitrate", concentration: 1000, uncertainty: { u: 0 } }],
      };
      const aliquots = RECIPE.solutions[1].aliquots.map((each) => ({ ...each, from: "stock" }));
      const made = prepareStandards({
        stocks: [certified],
        solutions: solutions.map((each) => ({ ...each, aliquots })),
      });
      return correlation(made.concentration("a", "NO3-"), made.concentration("b", "NO3-"));
    };
    // Shared: the pipette's calibration (± 0.008 mL), and the flask's (± 0.1 mL) where it is one piece. Each on its own:
    // pipetting 0.0016 mL, filling 0.02 mL. Relative variances; the temperature of a day cancels.
    const [delivery, mark] = [0.008 ** 2 / 6, 0.1 ** 2 / 6 / 100 ** 2];
    const total = delivery + mark + 0.0016 ** 2 + 0.02 ** 2 / 100 ** 2;
    expect(lone("each")).toBeCloseTo(delivery / total, 6);
    expect(lone("one")).toBeCloseTo((delivery + mark) / total, 6);
  });

  it("goes into a calibration: all results move together with the stock", () => {
    const standards = prepared.standards("nitrate");
    const responses = standards.map(({ concentration }) => 0.2 * concentration);
    const scatter = [1.002, 0.997, 1.001, 0.9995];
    const points = standards.map((each, i) => ({ ...each, response: responses[i] * scatter[i] }));
    const curve = calibrate(points, { ion: "nitrate", weighting: "1/x^2" });
    const found = curve.concentration(responses[2]);
    const row = found.budget().find(({ source }) => source.startsWith("certificate of"));
    // A stock 0.3 % off makes every result 0.3 % off.
    expect((row?.contribution ?? 0) / found.value).toBeCloseTo(0.003, 4);
    const [low, high] = [0.5, 3].map((y) => curve.concentration(y));
    expect(correlation(low, high)).toBeGreaterThan(0);
  });
});

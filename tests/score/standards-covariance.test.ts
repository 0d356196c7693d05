// Covariance of planned standards against the same glassware handled four million times; invented recipe.
import { describe, expect, it } from "vitest";
import { prepareStandards } from "../../toolkit/standards/prepare-standards.js";
import { largestDifferencePercent, RECIPE, simulatedCovariance } from "../standards/glassware-simulation.js";

const TRIALS = 4_000_000;

describe("covariance of planned standards", () => {
  const { matrix } = prepareStandards(RECIPE, { ions: ["chloride", "nitrate"] }).covariance();
  it.each([1, 2, 3])("within 2 % of the glassware, seed %i", (seed) => {
    const simulated = simulatedCovariance(TRIALS, seed);
    const { percent, pairs } = largestDifferencePercent(matrix, simulated, 0.1);
    const variances = largestDifferencePercent(matrix, simulated, 1 - 1e-9);
    console.log(
      `seed ${seed}: ${pairs} covariances, largest difference ${percent.toFixed(2)} %; variances ${variances.percent.toFixed(2)} %`,
    );
    expect(pairs).toBeGreaterThan(20);
    expect(percent).toBeLessThan(2);
  });
});

// Covariance of planned standards against the same glassware handled four million times; invented recipe.
import { describe, expect, it } from "vitest";
import { prepareStandards } from "../../toolkit/standards/prepare-standards.js";
import { largestDifferencePercent, RECIPE, simulatedCovariance } from "../standards/glassware-simulation.js";
import { SOLID_IONS, SOLIDS, simulatedSolids } from "../standards/weighed-stock-simulation.js";
import { simulatedWeighings, WEIGHED_RECIPE } from "../standards/weighing-simulation.js";

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

describe("covariance of standards by mass", () => {
  const { matrix } = prepareStandards(WEIGHED_RECIPE).covariance();
  it.each([1, 2, 3])("within 2 % of the weighings, seed %i", (seed) => {
    const { percent, pairs } = largestDifferencePercent(matrix, simulatedWeighings(TRIALS / 4, seed), 0.1);
    console.log(
      `seed ${seed}: ${pairs} variances and covariances by mass, largest difference ${percent.toFixed(2)} %`,
    );
    expect(pairs).toBe(10);
    expect(percent).toBeLessThan(2);
  });
});

describe("covariance of standards from solids", () => {
  const { matrix } = prepareStandards(SOLIDS, { ions: SOLID_IONS }).covariance();
  it.each([1, 2, 3])("within 2 % of solids, flasks and balances, seed %i", (seed) => {
    const { percent, pairs } = largestDifferencePercent(matrix, simulatedSolids(TRIALS / 4, seed), 0.5);
    console.log(
      `seed ${seed}: ${pairs} variances and covariances from solids, largest difference ${percent.toFixed(2)} %`,
    );
    expect(pairs).toBe(6);
    expect(percent).toBeLessThan(2);
  });
});

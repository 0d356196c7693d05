import { describe, expect, it } from "vitest";
import { coverageOf, SCENARIOS } from "./coverage-scenes.js";

// The same simulation as the score's, small: a right product leaves these bounds once in a thousand.
const TRIALS = 160;
/** 3.3 standard deviations of a share of 95 % in so many trials, beyond the bounds of the full size. */
const CHANCE = 330 * Math.sqrt((0.95 * 0.05) / TRIALS);
const PROMISED = SCENARIOS.filter(
  ({ promised, design, noise, weights }) =>
    promised && design === "ten at the ends" && (weights === "variance function" || noise === "mixed"),
);

describe(`the 95 % intervals of inverse prediction over ${TRIALS} calibrations`, () => {
  it.each(PROMISED)("$curve, $noise noise, weights $weights", (scenario) => {
    const found = coverageOf(scenario, 1, TRIALS);
    for (const value of [...found.between, found.anywhere]) {
      expect(value).toBeGreaterThan(94 - CHANCE);
      // Up to 100 %: so few trials do not tell 96 from it.
      expect(value).toBeLessThanOrEqual(96 + CHANCE);
    }
    expect(found.atLowest).toBeGreaterThan(92 - CHANCE);
    expect(found.atHighest).toBeGreaterThan(92 - CHANCE);
  });

  it("wrong weights are seen: 1/x² on even noise holds the truth at the lowest level in fewer than 75 %", () => {
    const wrong = SCENARIOS.find(({ noise, weights }) => noise === "homoscedastic" && weights === "1/x^2");
    if (!wrong) throw new Error("the scenario exists");
    expect(coverageOf(wrong, 1, TRIALS).atLowest).toBeLessThan(75);
  });
});

// Coverage of inverse prediction in worlds the method was not made with, 15 000 calibrations each: npm run score.
import { describe, expect, it } from "vitest";
import { BLIND_SCENARIOS, blindLine, pooledCoverageOf } from "../calibration/coverage-blind-scenes.js";

const TRIALS_A_SEED = 5_000;
const SEEDS = [1, 2, 3];

describe.each(BLIND_SCENARIOS)("$design, $curve, noise $noise, weights $weights", (scenario) => {
  it(
    scenario.promised
      ? "94 to 96 % of the 95 % intervals hold the truth, 92 to 98 % at the ends of the range"
      : "is printed, not asserted: the variance function has no form that grows as the root",
    () => {
      const found = pooledCoverageOf(scenario, SEEDS, TRIALS_A_SEED);
      console.log(blindLine(scenario, found));
      expect(found.halfWidths[0]).toBeGreaterThan(0);
      if (!scenario.promised) return;
      for (const value of [...found.between, found.anywhere]) {
        expect(value).toBeGreaterThanOrEqual(94);
        expect(value).toBeLessThanOrEqual(96);
      }
      for (const value of [found.atLowest, found.atHighest]) {
        expect(value).toBeGreaterThanOrEqual(92);
        expect(value).toBeLessThanOrEqual(98);
      }
    },
  );
});

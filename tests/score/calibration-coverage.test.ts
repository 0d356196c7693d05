// The 95 % of inverse prediction over 20 000 calibrations a scenario: npm run score.
import { describe, expect, it } from "vitest";
import { COVERAGE_HEAD, coverageLine, coverageOf, SCENARIOS } from "../calibration/coverage-scenes.js";

const TRIALS = 20_000;
/** What is only printed needs no more. */
const PRINTED = 4_000;

describe.each(SCENARIOS)("$design, $curve, $noise noise, weights $weights", (scenario) => {
  it.each([1, 2, 3])(
    scenario.promised
      ? "94 to 96 % of the 95 % intervals hold the truth, 92 to 98 % at the ends of the range (seed %i)"
      : "is printed, not asserted: wrong weights, or too few replicates for a variance function (seed %i)",
    (seed) => {
      const found = coverageOf(scenario, seed, scenario.promised ? TRIALS : PRINTED);
      console.log(`${COVERAGE_HEAD}\n${coverageLine(found)}`);
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

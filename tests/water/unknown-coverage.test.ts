// The small size of tests/score/unknown-coverage.test.ts.
import { describe, expect, it } from "vitest";
import { ion } from "../../toolkit/ions/ion-table.js";
import { STRANGERS, unknownCoverage } from "./unknown-coverage-runs.js";

const TRIALS = 460;
/** Of this many trials a right product falls outside these bounds, two standard errors wider than 93 to 97 %, once in hundreds. */
const SLACK = 200 * Math.sqrt((0.95 * 0.05) / (3 * TRIALS));

describe("the 95 % interval of an unidentified anion's charge", () => {
  it("the population are 23 anions, none of them calibrated with, whose conductivities are those of the ion table", () => {
    const names = Object.keys(STRANGERS);
    expect(names).toHaveLength(23);
    const known = names.filter((name) => {
      try {
        return ion(name).limitingMolarConductivity !== undefined;
      } catch {
        return false;
      }
    });
    expect(known.length).toBeGreaterThan(15);
    for (const name of known) {
      const { charge, limitingMolarConductivity = Number.NaN } = ion(name);
      expect(Math.abs(limitingMolarConductivity / -charge / STRANGERS[name] - 1), name).toBeLessThan(0.01);
    }
  });
  it.each([0, 2])("holds the truth in 93 to 97 % over %d µmol/L of carbonic acid", (carbonicAcid) => {
    const runs = [1, 2, 3].map((seed) => unknownCoverage(carbonicAcid, seed, TRIALS));
    const [inside, trials] = [runs, runs].map((list, i) =>
      list.reduce((sum, run) => sum + (i === 0 ? run.inside : run.trials), 0),
    );
    const share = (100 * inside) / trials;
    expect(share).toBeGreaterThan(93 - SLACK);
    expect(share).toBeLessThan(97 + SLACK);
  });
});

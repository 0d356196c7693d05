// The full size of tests/limits/blank-watch.test.ts: 10 000 trials of every scenario for each of the seeds 1, 2, 3.
import { describe, expect, it } from "vitest";
import { CHANGED, chance, UNCHANGED, warned } from "../limits/blank-watch-runs.js";

const TRIALS = 10_000;
const SEEDS = [1, 2, 3];
const ALARM = 0.05;

describe("the watch on blanks", () => {
  it("warns of unchanged blanks in at most 5 %, and sees what has changed", () => {
    const runs = [...UNCHANGED, ...CHANGED].flatMap((scenario) =>
      SEEDS.map((seed) => ({ scenario, seed, ...warned(scenario, seed, TRIALS, ALARM) })),
    );
    const lines = runs.map(
      ({ scenario, seed, any, named }) =>
        `${scenario.name}, seed ${seed}: ${any.toFixed(2)} % warned${scenario.seen ? `, ${scenario.seen.warning} ${named.toFixed(1)} % (asked ${scenario.seen.percent})` : " (asked at most 5)"}`,
    );
    console.log(`\nwatch on blanks, alarm 5 %, ${TRIALS} trials a line\n${lines.join("\n")}\n`);
    for (const { scenario, any, named } of runs) {
      if (scenario.seen) expect(named, scenario.name).toBeGreaterThan(scenario.seen.percent);
      else expect(any, scenario.name).toBeLessThan(5 + chance(5, TRIALS));
    }
  }, 600_000);
});

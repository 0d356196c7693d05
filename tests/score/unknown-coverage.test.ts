// The full size of tests/water/unknown-coverage.test.ts: 5 000 trials of every background for each of the seeds 1, 2, 3.
import { describe, expect, it } from "vitest";
import { unknownCoverage } from "../water/unknown-coverage-runs.js";

const TRIALS = 5_000;
const SEEDS = [1, 2, 3];
/** Total carbonic acid, µmol/L: none, hydroxide systems, suppressed carbonate with 99 % removed and with none removed. */
const BACKGROUNDS = [0, 1, 2, 5, 59, 5900];

describe("charge of unidentified anions", () => {
  it("95 % intervals hold 93 to 97 % of the truths, with and without dissolved carbon dioxide", () => {
    const runs = BACKGROUNDS.flatMap((carbonicAcid) =>
      SEEDS.map((seed) => {
        const run = unknownCoverage(carbonicAcid, seed, TRIALS);
        return {
          carbonicAcid,
          seed,
          ...run,
          share: (100 * run.inside) / run.trials,
          symmetric: (100 * run.insideSymmetric) / run.trials,
        };
      }),
    );
    const header = [
      "carbonic acid µmol/L",
      "seed",
      "trials",
      "inside %",
      "value ± k·u %",
      "mean error %",
      "s.d. %",
      "half-width %",
    ];
    const rows = runs.map((run) => [
      String(run.carbonicAcid),
      String(run.seed),
      String(run.trials),
      ...[run.share, run.symmetric, run.bias, run.spread, run.halfWidth].map((x) => x.toFixed(2)),
    ]);
    const widths = header.map((title, i) => Math.max(title.length, ...rows.map((row) => row[i].length)));
    const table = [header, ...rows].map((row) => row.map((cell, i) => cell.padEnd(widths[i])).join("  "));
    console.log(`\ncharge of 23 anions not calibrated with, asked inside: 93 to 97 %\n${table.join("\n")}\n`);
    expect(runs.filter(({ share }) => share < 93 || share > 97)).toEqual([]);
    // The symmetric interval of the measured value is what a balance counts with: honest over a hydroxide system.
    const hydroxide = runs.filter(({ carbonicAcid }) => carbonicAcid <= 5);
    expect(hydroxide.filter(({ symmetric }) => symmetric < 93 || symmetric > 97)).toEqual([]);
  });
});

// The stated rate is 0.05 false peaks per record (Rice 1944); a run that answers more than 0.10 times on average fails.
import { afterAll, describe, expect, it } from "vitest";
import { type FalseRates, falseRates } from "../peaks/false-peak-runs.js";
import { NOISE_KINDS } from "../signal/invented-noise.js";

/** Runs per seed: 600 per kind of noise in all. */
const RUNS = 200;
const LIMIT = 0.1;
const rows: string[] = [];

describe.each(NOISE_KINDS)("$name", (kind) => {
  it.each([1, 2, 3])(
    "seed %i: at most 0.10 false peaks and dips per run of 30 min, over 200 runs",
    (seed) => {
      const rates: FalseRates = falseRates(kind, RUNS, seed);
      const figures = [rates.detector, rates.peaks, rates.dips].map((rate) => rate.toFixed(3).padStart(10));
      rows.push(`${kind.name.padEnd(20)}${String(seed).padStart(4)}${figures.join("")}`);
      expect(rates.detector).toBeLessThanOrEqual(LIMIT);
      expect(rates.peaks).toBeLessThanOrEqual(LIMIT);
      expect(rates.dips).toBeLessThanOrEqual(LIMIT);
    },
  );
});

afterAll(() => {
  const head = `${"noise".padEnd(20)}seed${["detector", "findPeaks", "findDips"].map((name) => name.padStart(10)).join("")}`;
  console.log([`False answers per run of 30 min, ${RUNS} runs a row; stated 0.05`, head, ...rows].join("\n"));
});

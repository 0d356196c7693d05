import { describe, expect, it } from "vitest";
import { generateFirst } from "../score/first-generator.js";
import { scoreSeeds } from "../score/run.js";
import { generateSecond } from "../score/second-generator/generate.js";
import { scoreTable } from "../score/table.js";
import type { BatchGenerator } from "../score/truth.js";

/**
 * The short form of the full-size score: one fresh batch of each generator. Some two hundred results of one batch share
 * their curves and injections, so the two figures of spread are asked for within what such a number can show; all
 * other claims stand as they are.
 */
const generators: readonly (readonly [name: string, generate: BatchGenerator])[] = [
  ["simulation", generateFirst],
  ["second generator", generateSecond],
];

const SPREAD = new Set([
  "truth inside the 95 % interval, quantified results",
  "root mean square of (found − true)/u",
]);

describe.each(generators)("one fresh batch of the %s", (name, generate) => {
  it("is evaluated with nothing missed, nothing invented and an uncertainty of the right size", () => {
    const score = scoreSeeds(name, generate, [1]);
    const failed = score.criteria.filter(({ claim, passed }) => !passed && !SPREAD.has(claim));
    expect(failed, scoreTable(name, score)).toEqual([]);
    const [covered, rms] = score.criteria.filter(({ claim }) => SPREAD.has(claim)).map(({ value }) => value);
    expect(covered, scoreTable(name, score)).toBeGreaterThan(0.88);
    expect(rms, scoreTable(name, score)).toBeGreaterThan(0.6);
    expect(rms, scoreTable(name, score)).toBeLessThan(1.4);
  }, 120_000);
});

import { describe, expect, it } from "vitest";
import { fullSeeds, scoreSeeds } from "./run.js";
import { generateSecond } from "./second-generator/generate.js";
import { scoreTable } from "./table.js";
import type { BatchGenerator } from "./truth.js";

const generators: readonly (readonly [name: string, generate: BatchGenerator])[] = [
  ["second generator", generateSecond],
];

describe.each(generators)("fresh batches of the %s", (name, generate) => {
  it("are evaluated with honest uncertainties, nothing missed and nothing invented", () => {
    const score = scoreSeeds(name, generate, fullSeeds());
    console.log(`\n${scoreTable(name, score)}\n`);
    expect(score.criteria.filter(({ passed }) => !passed)).toEqual([]);
  });
});

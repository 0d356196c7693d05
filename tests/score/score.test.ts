import { describe, expect, it } from "vitest";
import { generateFirst } from "./first-generator.js";
import { fullSeeds, scoreSeeds } from "./run.js";
import { generateSecond } from "./second-generator/generate.js";
import { scoreTable } from "./table.js";
import type { BatchGenerator } from "./truth.js";

const generators: readonly (readonly [name: string, generate: BatchGenerator])[] = [
  ["simulation", generateFirst],
  ["second generator", generateSecond],
];

describe.each(generators)("fresh batches of the %s", (name, generate) => {
  it("are evaluated with honest uncertainties, nothing missed and nothing invented", async () => {
    const score = await scoreSeeds(name, generate, fullSeeds());
    console.log(`\n${scoreTable(name, score)}\n`);
    expect(score.criteria.filter(({ passed }) => !passed)).toEqual([]);
  });
});

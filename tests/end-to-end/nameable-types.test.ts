// A cell may keep the result of every function of the package: the compiler of cells hands each declaration on to the
// next cell, so every type that a function returns must have a name that a cell can import.
import { afterAll, describe, expect, it } from "vitest";
import * as ionbook from "../../toolkit/index.js";
import { createCellCompiler } from "../../toolkit/kernel/cell-compiler.js";

const names = Object.entries(ionbook)
  .filter(([name, value]) => typeof value === "function" && /^[a-z]/.test(name))
  .map(([name]) => name)
  // Its arguments are a rest of at least one, which no list of its parameters can be spread into.
  .filter((name) => name !== "childSeed");

describe("results kept in a cell", () => {
  const compiler = createCellCompiler();
  afterAll(() => compiler.close());

  it("have a type with a name, of whatever function they come", () => {
    expect(names.length).toBeGreaterThan(60);
    const kept = names.map(
      (name) => `const of_${name} = await ${name}(...([] as unknown as Parameters<typeof ${name}>));`,
    );
    const cell = compiler.compile([`import { ${names.join(", ")} } from "ionbook";`, ...kept].join("\n"));
    const faults = cell.kind === "rejected" ? cell.diagnostics.map((each) => each.message) : [];
    expect(faults).toEqual([]);
  }, 30_000);
});

import { afterEach, describe, expect, it } from "vitest";
import { type CellCompiler, createCellCompiler } from "../../toolkit/kernel/cell-compiler.js";

let compiler: CellCompiler | undefined;
afterEach(() => compiler?.close());

/** Runs compiled cells one after another on a shared exports object, as a kernel does. */
function run(js: string, shared: Record<string, unknown>): void {
  new Function("exports", "require", js)(shared, () => shared);
}

describe("the compiler of cells", () => {
  it("turns a good cell into JavaScript that computes its value", () => {
    compiler = createCellCompiler();
    const cell = compiler.compile("const dilution: number = 2 * 5;");
    if (cell.kind !== "compiled") throw new Error(JSON.stringify(cell));
    const shared: Record<string, unknown> = {};
    run(cell.js, shared);
    expect(shared.dilution).toBe(10);
  });

  it("reports a type error at its own line and column", () => {
    compiler = createCellCompiler();
    const cell = compiler.compile('const a = 1;\n\n  const area: number = "large";');
    expect(cell).toEqual({
      kind: "rejected",
      diagnostics: [{ line: 3, column: 9, message: "Type 'string' is not assignable to type 'number'." }],
    });
  });

  it("shows a cell the declarations of the cells before it, but not those of a rejected one", () => {
    compiler = createCellCompiler();
    expect(compiler.compile("const volume: number = 25;").kind).toBe("compiled");
    expect(compiler.compile('const broken = 1; const fault: number = "x";').kind).toBe("rejected");
    expect(compiler.compile("const twice = 2 * volume;").kind).toBe("compiled");
    const misuse = compiler.compile("const text: string = volume;");
    expect(misuse.kind === "rejected" && misuse.diagnostics.map((d) => d.message)).toEqual([
      "Type 'number' is not assignable to type 'string'.",
    ]);
    expect(compiler.compile("broken").kind).toBe("rejected");
  });
});

import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type CellCompiler, createCellCompiler } from "../../toolkit/kernel/cell-compiler.js";

/** One for all: a cell that is not accepted leaves nothing behind, and each compiler reads the language's libraries anew. */
let compiler: CellCompiler;
beforeAll(() => {
  compiler = createCellCompiler();
}, 30_000);
afterAll(() => compiler.close());

/** Runs compiled cells one after another on a shared exports object, as a kernel does. */
function run(js: string, shared: Record<string, unknown>): void {
  new Function("exports", "require", js)(shared, () => shared);
}

describe("the compiler of cells", () => {
  it("turns a good cell into JavaScript that computes its value", () => {
    const cell = compiler.compile("const dilution: number = 2 * 5;");
    if (cell.kind !== "compiled") throw new Error(JSON.stringify(cell));
    const shared: Record<string, unknown> = {};
    run(cell.js, shared);
    expect(shared.dilution).toBe(10);
  });

  it("reports a type error at its own line and column", () => {
    const cell = compiler.compile('const a = 1;\n\n  const area: number = "large";');
    expect(cell).toEqual({
      kind: "rejected",
      diagnostics: [
        {
          line: 3,
          column: 9,
          endLine: 3,
          endColumn: 13,
          code: 2322,
          message: "Type 'string' is not assignable to type 'number'.",
        },
      ],
    });
  });

  it("shows a cell the declarations of the cells before it, but not those of a rejected one", () => {
    const first = compiler.compile("const volume: number = 25;");
    if (first.kind !== "compiled") throw new Error(JSON.stringify(first));
    compiler.accept(first.declarations);
    expect(compiler.compile('const broken = 1; const fault: number = "x";').kind).toBe("rejected");
    expect(compiler.compile("const twice = 2 * volume;").kind).toBe("compiled");
    const misuse = compiler.compile("const text: string = volume;");
    expect(misuse.kind === "rejected" && misuse.diagnostics.map((d) => d.message)).toEqual([
      "Type 'number' is not assignable to type 'string'.",
    ]);
    expect(compiler.compile("broken").kind).toBe("rejected");
  });

  it("is strict: what may be missing must be looked at first", () => {
    const cell = compiler.compile("const found = [1, 2].find((each) => each > 1);\nfound.toFixed(1);");
    expect(cell.kind === "rejected" && cell.diagnostics[0].message).toBe("'found' is possibly 'undefined'.");
  });

  it("tells why a type does not fit below the fault itself, as one fault", () => {
    const cell = compiler.compile('const f: (n: number) => number = (n: number) => "x" as string;');
    if (cell.kind !== "rejected") throw new Error("compiled");
    expect(cell.diagnostics.length).toBe(1);
    expect(cell.diagnostics[0].message).toMatch(/not assignable/);
  });

  it("tells an open cell from a whole and a wrong one", () => {
    expect(compiler.completeness("const a = 1;").status).toBe("complete");
    expect(compiler.completeness("if (true) {").status).toBe("incomplete");
    expect(compiler.completeness("const const = 1").status).toBe("invalid");
  });
});

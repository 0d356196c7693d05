import { createRequire } from "node:module";
import { join, sep } from "node:path";
import { fileURLToPath } from "node:url";
import type TypeScript from "typescript";
import { describe, expect, it } from "vitest";

// The notebook kernel checks cells with the older compiler that its converter brings along, so the declarations
// of the toolkit have to be readable by that one, and must not turn into `any` there.
const fromConverter = createRequire(createRequire(import.meta.url).resolve("tslab"));
const ts = fromConverter("@tslab/typescript-for-tslab") as typeof TypeScript;
const root = fileURLToPath(new URL("../..", import.meta.url));
const toolkit = join(root, "toolkit") + sep;

const options: TypeScript.CompilerOptions = {
  target: ts.ScriptTarget.ES2022,
  module: ts.ModuleKind.ESNext,
  moduleResolution: ts.ModuleResolutionKind.Bundler,
  types: ["node"],
  strict: true,
  skipLibCheck: false,
  noEmit: true,
};

/** Files as read for one check serve the next: most are the language's own libraries. */
const sources = new Map<string, TypeScript.SourceFile | undefined>();

/** Diagnostics of one file, which stands in memory when `text` is given. */
function check(file: string, text?: string): readonly TypeScript.Diagnostic[] {
  const host = ts.createCompilerHost(options);
  host.getCurrentDirectory = () => root;
  const { getSourceFile, fileExists } = host;
  host.getSourceFile = (name, ...rest) => {
    if (!sources.has(name)) sources.set(name, getSourceFile(name, ...rest));
    return sources.get(name);
  };
  if (text !== undefined) {
    host.fileExists = (name) => name === file || fileExists(name);
    const { getSourceFile: read } = host;
    host.getSourceFile = (name, version, ...rest) =>
      name === file ? ts.createSourceFile(name, text, version) : read(name, version, ...rest);
  }
  // In a cell the libraries are not the question; declarations are checked in full.
  const program = ts.createProgram([file], { ...options, skipLibCheck: !file.endsWith(".d.ts") }, host);
  return ts.getPreEmitDiagnostics(program);
}

function said(diagnostics: readonly TypeScript.Diagnostic[]): readonly string[] {
  return diagnostics.map((d) => {
    const line = d.file && d.start !== undefined ? d.file.getLineAndCharacterOfPosition(d.start).line + 1 : 0;
    return `${d.file?.fileName.split(/[\\/]/).slice(-2).join("/")}:${line} TS${d.code}`;
  });
}

/** The control of a check that runs every time waits for the full size (`npm run score`). */
const inFull = it.runIf(process.env.IONBOOK_SIZE === "full");

describe("the types of the toolkit in a notebook", () => {
  it("are read without a complaint by the kernel's own, older compiler", () => {
    expect(ts.version).toMatch(/^5\.0\./);
    const inToolkit = check(join(toolkit, "dist", "index.d.ts")).filter((d) =>
      d.file?.fileName.startsWith(toolkit.split(sep).join("/")),
    );
    expect(said(inToolkit)).toEqual([]);
  });

  inFull("would be complained about if they needed a newer compiler", () => {
    const newer = "export declare const unit: NoInfer<string>;";
    const complaints = check(join(toolkit, "dist", "invented.d.ts"), newer).filter((d) =>
      d.file?.fileName.startsWith(toolkit),
    );
    expect(said(complaints)).toEqual(["dist/invented.d.ts:1 TS2304"]);
  });

  it("are no `any`: a wrong use in a cell is told at its line, and nothing else", () => {
    const cell = [
      'import { ion, chargeBalance } from "ionbook";',
      'const right: number = ion("chloride").molarMass;',
      'const wrong: string = ion("chloride").molarMass;',
      "type Options = NonNullable<Parameters<typeof chargeBalance>[1]>;",
      "const misspelt: Options = { temprature: 25 };",
      "export { right, wrong, misspelt };",
    ].join("\n");
    expect(said(check(join(root, "notebooks", "cell.ts"), cell))).toEqual([
      "notebooks/cell.ts:3 TS2322",
      "notebooks/cell.ts:5 TS2322",
    ]);
  });
});

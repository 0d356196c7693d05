import { type CellTypeScript, loadTypeScript } from "./patched-typescript.js";
import { docsOf, type SymbolDocs } from "./symbol-docs.js";

/** A fault the compiler found; lines and columns of the cell (or of `file`), counted from 1. */
export interface CellDiagnostic {
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
  /** TypeScript's number of the fault, as in TS2322. */
  readonly code: number;
  /** The fault in a sentence; lines below it, indented, say why. */
  readonly message: string;
  /** Set where the fault lies in a file that the cell imports: its path from the working folder. */
  readonly file?: string;
}

/** JavaScript of a file that the cell imports. */
export interface SideModule {
  readonly path: string;
  readonly js: string;
}

/** A cell as CommonJS with `exports` for its names; `HELPERS` must be in reach when it runs. */
export interface CellCode {
  readonly kind: "compiled";
  readonly js: string;
  /** The code awaits something at its top and must run in an async function. */
  readonly awaits: boolean;
  /** Name under which the last expression's value lies in `exports`. */
  readonly lastValue?: string;
  /** Source maps from `js` back to the cell, which has one line in front of it. */
  readonly maps: readonly string[];
  readonly sideModules: readonly SideModule[];
  /** What later cells may know of this one and those before; goes into `accept`. */
  readonly declarations: string;
}

export type CompiledCell =
  | CellCode
  | { readonly kind: "rejected"; readonly diagnostics: readonly CellDiagnostic[] };

export interface Completion {
  /** Range to replace, in UTF-16 units of the cell. */
  readonly start: number;
  readonly end: number;
  readonly matches: readonly { readonly text: string; readonly kind: string }[];
}

export type Completeness =
  | { readonly status: "complete" | "invalid" }
  | { readonly status: "incomplete"; readonly indent: string };

export interface CellCompiler {
  /** Type-checks a cell against the accepted cells before it and turns it into CommonJS. */
  compile(source: string): CompiledCell;
  /** Lets later cells see the declarations of a compiled cell: to be called when it has run. */
  accept(declarations: string): void;
  /** Opens the declarations of a package and keeps them open, so that the first cell that imports it need not wait. */
  preload(module: string): void;
  /** What may stand at a place of the cell. */
  complete(source: string, position: number): Completion;
  /** Type and documentation of what stands at a place of the cell. */
  inspect(source: string, position: number): SymbolDocs | undefined;
  /** Whether pressing enter should run the text or go on with a new line. */
  completeness(source: string): Completeness;
  /** Releases the compiler's watchers, so that the process can end. */
  close(): void;
}

/** Beyond this many a list of completions helps nobody. */
const MOST_MATCHES = 1000;

/**
 * Returns a compiler of notebook cells. A later cell sees the declarations of the accepted earlier ones; a rejected
 * or failed cell leaves nothing behind. The compiler itself (over a second to start) is loaded at the first use.
 */
export function createCellCompiler(): CellCompiler {
  let typescript: CellTypeScript | undefined;
  let converter: ReturnType<CellTypeScript["createConverter"]> | undefined;
  let declarations = "";
  let preloaded = "";
  const loaded = () => {
    typescript ??= loadTypeScript();
    return typescript;
  };
  const ready = () => {
    converter ??= loaded().createConverter({ isJS: false, isBrowser: false });
    return converter;
  };
  return {
    compile(source) {
      const result = ready().convert(declarations + preloaded, source);
      if (result.diagnostics.length > 0) {
        return { kind: "rejected", diagnostics: joinExplanations(result.diagnostics) };
      }
      return {
        kind: "compiled",
        js: result.output ?? "",
        awaits: result.hasToplevelAwait ?? false,
        ...(result.lastExpressionVar ? { lastValue: result.lastExpressionVar } : {}),
        maps: loaded().lastMaps(),
        sideModules: (result.sideOutputs ?? []).map(({ path, data }) => ({ path, js: data })),
        declarations: result.declOutput ?? "",
      };
    },
    accept(accepted) {
      declarations = accepted;
    },
    preload(module) {
      // The import has no names, so the converter leaves it out of what it hands on: it is added every time.
      preloaded += `\nimport ${JSON.stringify(module)};\n`;
      ready().convert(declarations + preloaded, "");
    },
    complete(source, position) {
      const { start, end, candidates, original } = ready().complete(
        declarations + preloaded,
        source,
        position,
      );
      const kinds = new Map<string, string>(original?.entries.map(({ name, kind }) => [name, kind]));
      const matches = candidates.slice(0, MOST_MATCHES);
      return { start, end, matches: matches.map((text) => ({ text, kind: kinds.get(text) ?? "" })) };
    },
    inspect(source, position) {
      const found = ready().inspect(declarations + preloaded, source, position);
      return found && docsOf(loaded().ts, found);
    },
    completeness: (source) => completenessOf(loaded(), source),
    close() {
      converter?.close();
      converter = undefined;
    },
  };
}

type Found = import("tslab/dist/converter.js").Diagnostic;

/** The converter gives the explanations of a fault as faults of their own at the same place: joined again here. */
function joinExplanations(found: readonly Found[]): readonly CellDiagnostic[] {
  const joined: CellDiagnostic[] = [];
  let last: Found | undefined;
  for (const each of found) {
    const { start, end, messageText, code, fileName } = each;
    const before = joined.at(-1);
    if (before && last && last.start.offset === start.offset && last.end.offset === end.offset) {
      joined[joined.length - 1] = { ...before, message: `${before.message}\n  ${messageText}` };
      continue;
    }
    last = each;
    joined.push({
      line: start.line + 1,
      column: start.character + 1,
      endLine: end.line + 1,
      endColumn: end.character + 1,
      code,
      message: messageText,
      ...(fileName === undefined ? {} : { file: fileName }),
    });
  }
  return joined;
}

/** What the parser says of a template text and of a remark that nobody has closed yet: they go on in the next line. */
const UNTERMINATED: readonly number[] = [1010, 1160];

function completenessOf({ ts, isCompleteCode }: CellTypeScript, source: string): Completeness {
  const { completed, indent } = isCompleteCode(source);
  if (!completed) return { status: "incomplete", indent: indent ?? "" };
  const file = ts.createSourceFile("cell.ts", source, ts.ScriptTarget.Latest, undefined, ts.ScriptKind.TS);
  const { parseDiagnostics = [] } = file as unknown as {
    readonly parseDiagnostics?: readonly { readonly code: number }[];
  };
  if (parseDiagnostics.some(({ code }) => UNTERMINATED.includes(code))) {
    return { status: "incomplete", indent: "" };
  }
  return { status: parseDiagnostics.length > 0 ? "invalid" : "complete" };
}

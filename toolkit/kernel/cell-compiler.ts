import { createRequire } from "node:module";

/** A fault the compiler found; line and column of the cell, counted from 1. */
export interface CellDiagnostic {
  readonly line: number;
  readonly column: number;
  readonly message: string;
}

export type CompiledCell =
  | { readonly kind: "compiled"; readonly js: string }
  | { readonly kind: "rejected"; readonly diagnostics: readonly CellDiagnostic[] };

export interface CellCompiler {
  /** Type-checks a cell against the accepted cells before it and turns it into CommonJS. */
  compile(source: string): CompiledCell;
  /** Releases the compiler's watchers, so that the process can end. */
  close(): void;
}

/**
 * Returns a compiler of notebook cells. A later cell sees the declarations of the accepted earlier ones; a rejected
 * cell leaves nothing behind. The compiler itself (over a second to start) is loaded at the first cell.
 */
export function createCellCompiler(): CellCompiler {
  let converter: import("tslab/dist/converter.js").Converter | undefined;
  let declarations = "";
  return {
    compile(source) {
      converter ??= loadConverter();
      const result = converter.convert(declarations, source);
      if (result.diagnostics.length > 0) {
        const diagnostics = result.diagnostics.map(({ start, messageText }) => ({
          line: start.line + 1,
          column: start.character + 1,
          message: messageText,
        }));
        return { kind: "rejected", diagnostics };
      }
      declarations = result.declOutput ?? "";
      return { kind: "compiled", js: result.output ?? "" };
    },
    close() {
      converter?.close();
      converter = undefined;
    },
  };
}

function loadConverter(): import("tslab/dist/converter.js").Converter {
  // The converter is CommonJS and heavy: required here, not imported above, so that a kernel can answer before it is there.
  const load = createRequire(import.meta.url);
  const { createConverter } = load("tslab/dist/converter.js") as typeof import("tslab/dist/converter.js");
  return createConverter({ isJS: false, isBrowser: false });
}

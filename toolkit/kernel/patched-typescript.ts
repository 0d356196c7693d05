import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { rewriteEmitted, rewriteSource } from "./cell-transforms.js";
import type { TypeScript } from "./compiler-type.js";
import { converterRepairs } from "./converter-repairs.js";
import { shareTopLevel } from "./share-top-level.js";

type ConverterModule = typeof import("tslab/dist/converter.js");

export interface CellTypeScript {
  readonly ts: TypeScript;
  readonly createConverter: ConverterModule["createConverter"];
  readonly isCompleteCode: ConverterModule["isCompleteCode"];
  /** Source maps of the last emitted file: emitted code → checked code → cell (with one line in front). */
  readonly lastMaps: () => readonly string[];
}

const INLINE_MAP = /\r?\n\/\/# sourceMappingURL=data:application\/json;base64,([A-Za-z0-9+/=]+)\s*$/;

/**
 * Loads tslab's converter on a copy of its compiler with our settings: strict, packages found through "exports",
 * source maps of both stages, variables shared between cells. No file of tslab is touched; the copy takes the
 * compiler's place in the module cache before the converter asks for it.
 */
export function loadTypeScript(): CellTypeScript {
  const load = createRequire(import.meta.url);
  const fromTslab = createRequire(load.resolve("tslab"));
  const path = fromTslab.resolve("@tslab/typescript-for-tslab");
  const ts = fromTslab(path) as TypeScript;
  const patched: Record<string, unknown> = { ...ts };
  let maps: readonly string[] = [];
  patched.createWatchCompilerHost = (files: string[], options: object, ...rest: unknown[]) =>
    (ts.createWatchCompilerHost as (...all: unknown[]) => unknown)(
      files,
      { ...options, ...settings(ts, fromTslab) },
      ...rest,
    );
  Object.assign(patched, converterRepairs(ts));
  patched.transpileModule = (js: string, options: import("@tslab/typescript-for-tslab").TranspileOptions) => {
    const inline = INLINE_MAP.exec(js);
    const shared = shareTopLevel(ts, inline ? js.slice(0, inline.index) : js);
    const { Node16 } = ts.ModuleKind;
    const result = ts.transpileModule(shared, {
      ...options,
      compilerOptions: {
        ...options.compilerOptions,
        module: Node16,
        moduleResolution: ts.ModuleResolutionKind.Node16,
        sourceMap: true,
      },
      transformers: { before: [rewriteSource(ts)], after: [rewriteEmitted(ts)] },
    });
    const outputText = result.outputText.replace(/\n\/\/# sourceMappingURL=.*\s*$/, "\n");
    maps =
      inline && result.sourceMapText
        ? [result.sourceMapText, Buffer.from(inline[1], "base64").toString("utf8")]
        : [];
    return { ...result, outputText };
  };
  leaveLibrariesUnwatched(ts);
  const cached = fromTslab.cache[path];
  if (!cached) throw new Error("the module cache does not hold the compiler that was just loaded");
  cached.exports = patched;
  const { createConverter, isCompleteCode } = load("tslab/dist/converter.js") as ConverterModule;
  return { ts, createConverter, isCompleteCode, lastMaps: () => maps };
}

function settings(ts: TypeScript, fromTslab: NodeJS.Require): object {
  const own = ownDeclarations();
  return {
    strict: true,
    moduleResolution: ts.ModuleResolutionKind.Bundler,
    inlineSourceMap: true,
    lib: ["lib.es2023.d.ts"],
    types: ["node"],
    typeRoots: [dirname(dirname(fromTslab.resolve("@types/node/package.json")))],
    ...(own ? { paths: { ionbook: [own] } } : {}),
  };
}

/** Declarations of the package this kernel belongs to, needed where a notebook lies outside every installation. */
function ownDeclarations(): string | undefined {
  const fromHere = createRequire(join(process.cwd(), "cell.js"));
  try {
    fromHere.resolve("ionbook/package.json");
    return undefined;
  } catch {
    const built = fileURLToPath(new URL("../index.d.ts", import.meta.url));
    return existsSync(built) ? built : undefined;
  }
}

/** Some 200 library files would be watched for changes that nobody makes while a kernel runs. */
function leaveLibrariesUnwatched(ts: TypeScript): void {
  const watchFile = ts.sys.watchFile;
  if (!watchFile) return;
  const libraries = [`${sep}node_modules${sep}`, "/node_modules/", `${sep}dist${sep}`];
  ts.sys.watchFile = (path, ...rest) =>
    libraries.some((part) => path.includes(part)) ? { close() {} } : watchFile(path, ...rest);
}

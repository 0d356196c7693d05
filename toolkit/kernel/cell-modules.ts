import Module, { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import vm from "node:vm";
import type { SideModule } from "./cell-compiler.js";

/** How cells come to their modules. */
export interface CellModules {
  /** `require` of a cell; static imports become calls of it. */
  readonly require: (id: string) => unknown;
  /** `import()` of a cell. */
  readonly load: (id: string) => Promise<unknown>;
  /** Takes over the compiled files that a cell imports, and opens packages that `require` cannot. */
  prepare(js: string, sideModules: readonly SideModule[]): Promise<void>;
}

/** `require("…")` of a package, as the compiler emits it. */
const REQUIRED = /\brequire\("([^"./][^"]*)"\)/g;
/** Node says so of modules that wait for something at their top, or that only `import` may open. */
const NEEDS_IMPORT = new Set([
  "ERR_REQUIRE_ASYNC_MODULE",
  "ERR_REQUIRE_ESM",
  "ERR_PACKAGE_PATH_NOT_EXPORTED",
]);

/** @param own modules of the kernel's own making: name → value */
export function createCellModules(own: ReadonlyMap<string, unknown>): CellModules {
  const folder = process.cwd();
  const fromFolder = createRequire(join(folder, "cell.js"));
  const fromKernel = createRequire(import.meta.url);
  const imported = new Map<string, unknown>();
  const sources = new Map<string, string>();
  const side = new Map<string, { exports: unknown }>();
  /** A package from the notebook's folder, else one that came with the kernel. */
  const resolver = (id: string): NodeJS.Require => {
    if (Module.isBuiltin(id) || isPath(id) || resolves(fromFolder, id)) return fromFolder;
    return resolves(fromKernel, id) ? fromKernel : fromFolder;
  };
  const requireFrom = (base: NodeJS.Require, place: string) => (id: string) => {
    if (own.has(id)) return own.get(id);
    if (imported.has(id)) return imported.get(id);
    const file = isPath(id) ? sideFile(sources, resolve(place, id)) : undefined;
    if (file !== undefined) return sideModule(file);
    return (isPath(id) ? base : resolver(id))(id);
  };
  function sideModule(file: string): unknown {
    const known = side.get(file);
    if (known) return known.exports;
    const module = { exports: {} as unknown };
    side.set(file, module);
    const place = dirname(file);
    const run = vm.runInThisContext(Module.wrap(sources.get(file) ?? ""), { filename: file });
    run(module.exports, requireFrom(createRequire(file), place), module, file, place);
    return module.exports;
  }
  const importHere = nativeImport(join(folder, "cell.js"));
  const importAny = (id: string): Promise<unknown> => {
    if (isPath(id)) return importHere(pathToFileURL(resolve(folder, id)).href);
    return resolver(id) === fromKernel ? import(id) : importHere(id);
  };
  const load = async (id: string): Promise<unknown> => {
    if (own.has(id)) return own.get(id);
    const file = isPath(id) ? sideFile(sources, resolve(folder, id)) : undefined;
    return file === undefined ? importAny(id) : sideModule(file);
  };
  return {
    require: requireFrom(fromFolder, folder),
    load,
    async prepare(js, sideModules) {
      for (const { path, js: text } of sideModules) {
        sources.set(path, text);
        side.delete(path);
      }
      for (const [, id] of js.matchAll(REQUIRED)) {
        if (own.has(id) || imported.has(id) || Module.isBuiltin(id)) continue;
        try {
          resolver(id)(id);
        } catch (error) {
          if (!NEEDS_IMPORT.has(String((error as NodeJS.ErrnoException).code))) return;
          imported.set(id, await importAny(id));
        }
      }
    },
  };
}

function isPath(id: string): boolean {
  return id.startsWith("./") || id.startsWith("../") || id.startsWith("/") || id === "." || id === "..";
}

function resolves(from: NodeJS.Require, id: string): boolean {
  try {
    from.resolve(id);
    return true;
  } catch (error) {
    // Found, but only for `import`.
    return (error as NodeJS.ErrnoException).code === "ERR_PACKAGE_PATH_NOT_EXPORTED";
  }
}

function sideFile(sources: ReadonlyMap<string, string>, path: string): string | undefined {
  return [path, `${path}.js`, path.replace(/\.ts$/, ".js")].find((each) => sources.has(each));
}

/** `import()` as if written in that file. */
function nativeImport(filename: string): (id: string) => Promise<unknown> {
  return vm.runInThisContext("(id) => import(id)", {
    filename,
    importModuleDynamically: vm.constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
  } as unknown as vm.RunningScriptOptions);
}

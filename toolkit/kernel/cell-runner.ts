import vm from "node:vm";
import type { CellModules } from "./cell-modules.js";
import { HELPERS } from "./helpers-name.js";
import type { RunCell } from "./thread-messages.js";

/** The cell was ended by the user. */
export class KeyboardInterrupt extends Error {
  override readonly name = "KeyboardInterrupt";
  constructor() {
    super("the cell was interrupted");
  }
}

export interface CellRunner {
  /** Runs a cell to its end and gives the value of its last expression; rejects with what the cell threw. */
  run(cell: RunCell, fileName: string): Promise<unknown>;
  /** Ends the running cell with an error, wherever it waits. */
  breakOff(error: Error): void;
}

/** The running cell finds its scope under this name; a cell cannot see it by accident. */
const HAND_OVER = Symbol.for("ionbook.cell");

/**
 * Runs compiled cells on this thread, all on one scope.
 *
 * @param interruptFlag 1 while an interrupt is wanted
 */
export function createCellRunner(modules: CellModules, interruptFlag: Int32Array): CellRunner {
  // A plain object: through a Proxy every assignment of a shared variable would cost a hundred times as much.
  const scope: Record<string, unknown> = {};
  let breakRunning: ((error: Error) => void) | undefined;
  const helpers = {
    guard() {
      if (Atomics.load(interruptFlag, 0) === 0) return;
      Atomics.store(interruptFlag, 0, 0);
      throw new KeyboardInterrupt();
    },
    define(target: Record<string, unknown>, name: string, { get, value }: PropertyDescriptor) {
      target[name] = get ? get() : value;
    },
    load: modules.load,
  };
  return {
    breakOff: (error) => breakRunning?.(error),
    async run({ code }, filename) {
      Atomics.store(interruptFlag, 0, 0);
      let broken: Error | undefined;
      const breaking = new Promise<never>((_, reject) => {
        breakRunning = (error) => {
          broken ??= error;
          reject(error);
        };
      });
      breaking.catch(() => undefined);
      await modules.prepare(code.js, code.sideModules);
      Reflect.set(globalThis, HAND_OVER, [scope, modules.require, helpers]);
      // The call stands inside the script: the watch for SIGINT covers only what runs there.
      const running: unknown = vm.runInThisContext(wrapped(code.js, code.awaits), {
        filename,
        lineOffset: -1,
        breakOnSigint: true,
        importModuleDynamically: vm.constants.USE_MAIN_CONTEXT_DEFAULT_LOADER,
      } as unknown as vm.RunningScriptOptions);
      if (code.awaits) await Promise.race([running, breaking]);
      let value: unknown;
      if (code.lastValue !== undefined) {
        value = scope[code.lastValue];
        // Not deleted: that would turn the scope into a dictionary, and loops over shared variables three to six times slower.
        scope[code.lastValue] = undefined;
        value = isThenable(value) ? await Promise.race([value, breaking]) : value;
      }
      // A library may have swallowed what was thrown to stop it.
      if (broken) throw broken;
      return value;
    },
  };
}

function wrapped(js: string, awaits: boolean): string {
  const head = `(${awaits ? "async " : ""}function (exports, require, ${HELPERS}) { "use strict";`;
  return `${head}\n${js}\n})(...globalThis[Symbol.for("${HAND_OVER.description}")])`;
}

function isThenable(value: unknown): value is PromiseLike<unknown> {
  return typeof value === "object" && value !== null && typeof Reflect.get(value, "then") === "function";
}

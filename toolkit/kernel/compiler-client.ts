import { writeSync } from "node:fs";
import { Worker } from "node:worker_threads";
import type { CellCompiler } from "./cell-compiler.js";
import type { Answer, Question } from "./compiler-thread.js";

type Asynchronous<T> = {
  readonly [K in keyof T]: T[K] extends (...args: infer A) => infer R ? (...args: A) => Promise<R> : never;
};

/** The compiler as seen from another thread; `close` ends its thread. */
export type CompilerClient = Asynchronous<CellCompiler>;

/** Measured: a small young generation makes the compiler collect garbage all the time. */
const LIMITS = { maxYoungGenerationSizeMb: 96, maxOldGenerationSizeMb: 2048 };
const STANDARD_ERROR = 2;

/** Starts the compiler's thread; questions asked before it is ready wait. */
export function startCompiler(): CompilerClient {
  const worker = new Worker(new URL("./compiler-thread.js", import.meta.url), {
    resourceLimits: LIMITS,
    stdout: true,
    stderr: true,
  });
  // Not into a cell's output: what the compiler says on its own is for whoever looks at the kernel's log.
  for (const stream of [worker.stdout, worker.stderr]) {
    stream.on("data", (text: Buffer) => writeSync(STANDARD_ERROR, text));
  }
  const waiting = new Map<number, { resolve(value: unknown): void; reject(error: Error): void }>();
  let dead: Error | undefined;
  worker.on("message", (answer: Answer) => {
    const asked = waiting.get(answer.id);
    waiting.delete(answer.id);
    if ("fault" in answer) {
      asked?.reject(Object.assign(new Error(answer.fault.message), { stack: answer.fault.stack }));
    } else asked?.resolve(answer.value);
  });
  const fail = (error: Error): void => {
    dead = error;
    for (const asked of waiting.values()) asked.reject(error);
    waiting.clear();
  };
  worker.on("error", fail);
  worker.on("exit", () => fail(dead ?? new Error("the compiler has ended; restart the kernel")));
  let lastId = 0;
  const ask = (method: Question["method"], args: readonly unknown[]): Promise<unknown> =>
    new Promise((resolve, reject) => {
      if (dead) {
        reject(dead);
        return;
      }
      lastId += 1;
      waiting.set(lastId, { resolve, reject });
      worker.postMessage({ id: lastId, method, args } satisfies Question);
    });
  const method = <K extends Question["method"]>(name: K): CompilerClient[K] =>
    ((...args: readonly unknown[]) => ask(name, args)) as CompilerClient[K];
  return {
    compile: method("compile"),
    accept: method("accept"),
    preload: method("preload"),
    complete: method("complete"),
    inspect: method("inspect"),
    completeness: method("completeness"),
    close: async () => {
      await worker.terminate();
    },
  };
}

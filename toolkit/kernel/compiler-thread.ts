// The compiler on a thread of its own: a question in, its answer out, in the order they came.
import { parentPort } from "node:worker_threads";
import { type CellCompiler, createCellCompiler } from "./cell-compiler.js";

/** One question to the compiler: the name of a method and what it is called with. */
export interface Question {
  readonly id: number;
  readonly method: Exclude<keyof CellCompiler, "close">;
  readonly args: readonly unknown[];
}

export type Answer =
  | { readonly id: number; readonly value: unknown }
  | { readonly id: number; readonly fault: { readonly message: string; readonly stack: string } };

const port = parentPort;
if (!port) throw new Error("compiler-thread runs as a worker thread");
const compiler = createCellCompiler();
port.on("message", ({ id, method, args }: Question) => port.postMessage(answer(id, method, args)));

function answer(id: number, method: Question["method"], args: readonly unknown[]): Answer {
  try {
    return { id, value: (compiler[method] as (...all: readonly unknown[]) => unknown)(...args) };
  } catch (error) {
    const { message, stack } = error instanceof Error ? error : new Error(String(error));
    return { id, fault: { message, stack: stack ?? message } };
  }
}

import type { KernelEnd } from "../client/kernel-process.js";
import type { CellPlace } from "./cell-place.js";
import { lineOfError } from "./line-of-error.js";

/** Where and why a run stopped. */
export interface RunFailure {
  readonly kind: "error" | "type error" | "timeout" | "kernel died";
  /** Counted over all cells from 1, text cells too, as a reader counts. */
  readonly cell: number;
  /** Counted over the code cells that were run: the number in the cell's brackets. */
  readonly codeCell: number;
  /** Line of the cell's source, from 1, and its text; undefined where the kernel could not tell. */
  readonly line: number | undefined;
  readonly text: string | undefined;
  readonly cause: string;
  /** What to do about it. */
  readonly hint: string;
}

/** What an error message of the kernel says. */
export interface KernelError {
  readonly ename: string;
  readonly evalue: string;
  readonly traceback: readonly string[];
}

export function errorFailure(place: CellPlace, error: KernelError): RunFailure {
  const kind = error.ename === "TypeScriptError" ? "type error" : "error";
  const cause = kind === "type error" ? error.evalue : `${error.ename}: ${error.evalue}`;
  return { kind, ...numbers(place), ...lineIn(place, error), cause, hint: hintFor(error) };
}

export function timeoutFailure(
  place: CellPlace,
  seconds: number,
  stopped: KernelError | undefined,
): RunFailure {
  return {
    kind: "timeout",
    ...numbers(place),
    ...(stopped ? lineIn(place, stopped) : { line: undefined, text: undefined }),
    cause: `not done after ${seconds} s`,
    hint: `give it more time (--timeout ${Math.ceil(5 * seconds)}), or let the cell do less`,
  };
}

export function deathFailure(place: CellPlace, end: KernelEnd): RunFailure {
  const how = end.signal === null ? `with exit code ${end.code}` : `by ${end.signal}`;
  const words = end.lastWords === "" ? "" : `; its last words: ${lastLines(end.lastWords)}`;
  return {
    kind: "kernel died",
    ...numbers(place),
    line: undefined,
    text: undefined,
    cause: `the kernel's process ended ${how}${words}`,
    hint: hintForDeath(end),
  };
}

/** A failure in the words of the command: where, the line, why, what to do. */
export function failureText(notebook: string, failure: RunFailure): string {
  const line = failure.line === undefined ? "" : `, line ${failure.line}`;
  const source = failure.text === undefined ? [] : [`    ${failure.text.trim()}`];
  return [
    `${notebook}, cell ${failure.cell} (code cell ${failure.codeCell})${line}: ${failure.kind}`,
    ...source,
    `  cause: ${failure.cause.replaceAll("\n", "\n    ")}`,
    `  hint: ${failure.hint}`,
  ].join("\n");
}

function numbers({ cell, codeCell }: CellPlace): Pick<RunFailure, "cell" | "codeCell"> {
  return { cell, codeCell };
}

function lineIn(place: CellPlace, error: KernelError): Pick<RunFailure, "line" | "text"> {
  const line = lineOfError(error.traceback, place);
  return { line, text: line === undefined ? undefined : place.source.split("\n")[line - 1] };
}

function hintFor({ ename, evalue }: KernelError): string {
  if (ename === "TypeScriptError")
    return "mend this line: the cell was not run, so nothing in it has happened";
  if (/cannot find (module|package)|ERR_MODULE_NOT_FOUND/i.test(evalue)) {
    return "run npm ci in the checkout; a cell finds the packages installed above the notebook's folder";
  }
  if (/ENOENT|missing-(file|folder)|there is no such (file|folder)|file-not-found/.test(evalue)) {
    return "check the path: it counts from the notebook's folder";
  }
  if (ename === "IonbookError") return "do what the message says, then run the notebook again";
  return "run the notebook up to this cell in a notebook page and look at the values it works with";
}

function hintForDeath({ lastWords, signal }: KernelEnd): string {
  if (/heap|out of memory/i.test(lastWords)) {
    return "the cell needs more memory than Node.js may take: NODE_OPTIONS=--max-old-space-size=4096 gives 4 GB";
  }
  if (signal === "SIGKILL")
    return "somebody ended it, or the machine ran out of memory: let the cell keep less";
  return "a cell must not end its process; leave out process.exit and process.kill";
}

function lastLines(words: string): string {
  return words.split("\n").slice(-5).join("\n");
}

import { fileURLToPath } from "node:url";
import { inspect } from "node:util";
import { type CellPlace, cellMap } from "./cell-map.js";
import { codeFrame } from "./code-frame.js";
import type { Failure, RunCell } from "./thread-messages.js";

/** Traces of errors in the words of the user's cells. */
export interface ErrorTraces {
  /** Remembers a cell and returns the file name to run it under. */
  enter(cell: RunCell): string;
  /** An error as the protocol sends it, with its place in the execution `id` where one is given. */
  failureOf(thrown: unknown, id?: number): Failure;
}

/** A call on the way to the error that lies in the user's own code. */
interface Frame {
  /** In words: "In[3], line 2, column 7, in f". */
  readonly text: string;
  readonly cell?: { readonly id: number; readonly lines: readonly string[]; readonly place: CellPlace };
}

interface KnownCell {
  readonly label: string;
  readonly lines: readonly string[];
  readonly placeOf: ReturnType<typeof cellMap>;
}

const CELL_FILE = /ionbook-cell-(\d+):(\d+):(\d+)/;
/** Deep libraries would push the cell itself out of a trace of Node's ten calls. */
const DEPTH = 60;
const MOST_FRAMES = 8;
const MOST_CAUSES = 4;
const LINES_AROUND = 2;
const PACKAGE = fileURLToPath(new URL("../", import.meta.url));
const KERNEL = fileURLToPath(new URL("./", import.meta.url));

/** From now on every `stack` names cells as In[3] with the cell's own lines, wherever it is printed. */
export function traceErrors(): ErrorTraces {
  const cells = new Map<number, KnownCell>();
  const framesOf = new WeakMap<object, readonly Frame[]>();
  Error.stackTraceLimit = DEPTH;
  Error.prepareStackTrace = (error, sites) => {
    const calls = sites.map((site) => describeCall(String(site), cells));
    if (typeof error === "object" && error !== null) {
      framesOf.set(
        error,
        calls.flatMap(({ frame }) => frame ?? []),
      );
    }
    return [headline(error), ...calls.map(({ line }) => `    at ${line}`)].join("\n");
  };
  const frames = (thrown: object): readonly Frame[] => {
    // The trace is made when it is first asked for.
    void (thrown as { readonly stack?: unknown }).stack;
    return framesOf.get(thrown) ?? [];
  };
  return {
    enter({ id, count, source, code }) {
      cells.set(id, { label: `In[${count}]`, lines: source.split("\n"), placeOf: cellMap(code.maps) });
      return `ionbook-cell-${id}`;
    },
    failureOf: (thrown, id) => describeFailure(thrown, frames, id),
  };
}

function headline(error: unknown): string {
  try {
    return Error.prototype.toString.call(error);
  } catch {
    return "Error";
  }
}

/** One call of a trace, cells named; as a frame where it is the user's. */
function describeCall(
  call: string,
  cells: ReadonlyMap<number, KnownCell>,
): { readonly line: string; readonly frame?: Frame } {
  const found = CELL_FILE.exec(call);
  const cell = found ? cells.get(Number(found[1])) : undefined;
  if (!found || !cell) return isOurs(call) ? { line: call } : { line: call, frame: { text: call } };
  const place = cell.placeOf(Number(found[2]), Number(found[3]));
  if (!place) return { line: call.replace(CELL_FILE, cell.label) };
  const line = call.replace(CELL_FILE, `${cell.label}:${place.line}:${place.column}`);
  const name = /^(?:async )?(\S.*?) \(/.exec(call)?.[1];
  // A function of an earlier cell is called through the shared scope and would be named "Object.f".
  const within = name && !/^eval|<anonymous>/.test(name) ? `, in ${name.replace(/^Object\./, "")}` : "";
  const text = `${cell.label}, line ${place.line}, column ${place.column}${within}`;
  return { line, frame: { text, cell: { id: Number(found[1]), lines: cell.lines, place } } };
}

/** Node itself, libraries, this package: not where the user looks for a mistake. */
function isOurs(call: string): boolean {
  if (call.includes("node:") || call.includes("node_modules") || call.includes("<anonymous>")) return true;
  return call.includes(PACKAGE) || call.includes(KERNEL) || !/[/\\]/.test(call);
}

type FramesOf = (thrown: object) => readonly Frame[];

function describeFailure(thrown: unknown, framesOf: FramesOf, id: number | undefined): Failure {
  if (!isErrorLike(thrown)) {
    const shown = inspect(thrown, { depth: 3 });
    const evalue = typeof thrown === "string" ? thrown : shown;
    return { ename: "Thrown", evalue, traceback: [`Thrown: ${evalue}`] };
  }
  const { ename, evalue } = namesOf(thrown);
  const frames = framesOf(thrown);
  const inCell = frames.find((frame) => frame.cell?.id === id);
  const traceback = [`${ename}: ${evalue}`, ...frameLines(frames, thrown), ...causeLines(thrown, framesOf)];
  return { ename, evalue, traceback, ...(inCell?.cell ? { place: inCell.cell.place } : {}) };
}

interface ErrorLike {
  readonly name?: unknown;
  readonly message: unknown;
  readonly code?: unknown;
  readonly cause?: unknown;
}

/** Also errors of another context and of another copy of the package. */
function isErrorLike(thrown: unknown): thrown is ErrorLike {
  return typeof thrown === "object" && thrown !== null && "message" in thrown && "stack" in thrown;
}

function namesOf(error: ErrorLike): { readonly ename: string; readonly evalue: string } {
  if (error.code === "ERR_SCRIPT_EXECUTION_INTERRUPTED") {
    return { ename: "KeyboardInterrupt", evalue: "the cell was interrupted" };
  }
  return { ename: String(error.name ?? "Error"), evalue: String(error.message) };
}

/** The code around the first place in a cell, then the other calls; advice of the package needs only the place. */
function frameLines(frames: readonly Frame[], error: ErrorLike): readonly string[] {
  const own = error.name === "IonbookError" ? frames.filter((frame) => frame.cell) : frames;
  const shown = own.slice(0, MOST_FRAMES);
  const at = shown.findIndex((frame) => frame.cell);
  const lines = shown.flatMap((frame, index) => {
    if (index !== at || !frame.cell) return [`  ${frame.text}`];
    const { lines: source, place } = frame.cell;
    return [`  ${frame.text}`, ...codeFrame(source, place.line, place.column, 1, LINES_AROUND)];
  });
  const left = own.length - shown.length;
  return left > 0 ? [...lines, `  … and ${left} calls further out`] : lines;
}

function causeLines(error: ErrorLike, framesOf: FramesOf): readonly string[] {
  const lines: string[] = [];
  let cause = error.cause;
  for (let depth = 0; cause !== undefined && depth < MOST_CAUSES; depth += 1) {
    if (!isErrorLike(cause)) {
      lines.push(`Caused by: ${inspect(cause, { depth: 2 })}`);
      break;
    }
    const { ename, evalue } = namesOf(cause);
    lines.push(`Caused by: ${ename}: ${evalue}`);
    const frame = framesOf(cause).find((each) => each.cell);
    if (frame) lines.push(`  ${frame.text}`);
    cause = cause.cause;
  }
  return lines;
}

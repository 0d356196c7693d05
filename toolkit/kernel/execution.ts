import type { CompiledCell } from "./cell-compiler.js";
import type { CompilerClient } from "./compiler-client.js";
import type { Connection } from "./connection.js";
import { diagnosticsFailure } from "./diagnostics-text.js";
import type { History } from "./history.js";
import { versions } from "./kernel-info.js";
import type { CellOutcome, MainLink } from "./main-link.js";
import type { CellEvidence, Failure } from "./thread-messages.js";
import type { Message } from "./wire.js";

/** What `execute_request` asks for, with the protocol's defaults. */
export interface ExecuteRequest {
  readonly code: string;
  readonly silent: boolean;
  readonly storeHistory: boolean;
  readonly stopOnError: boolean;
  readonly userExpressions: Readonly<Record<string, unknown>>;
}

export interface Executor {
  /** Runs a cell, publishes what it gives and answers the request; true when it went well. */
  execute(request: Message): Promise<boolean>;
  /** Answers a request that stands behind a failed one. */
  abort(request: Message): Promise<void>;
  /** Ends the running cell; one that is still being compiled is not run. */
  interrupt(): Promise<void>;
  /** The request to whose output an execution belongs; none for a silent one. */
  parentOf(id: number): { readonly message: Message; readonly silent: boolean } | undefined;
}

/** So many executions back, output of timers still finds its cell. */
const REMEMBERED = 1000;

interface Parts {
  readonly connection: Connection;
  readonly compiler: CompilerClient;
  readonly main: MainLink;
  readonly history: History;
  /** Sends held-back output, so that what follows stays behind it. */
  readonly flush: () => void;
}

export function readExecuteRequest(message: Message): ExecuteRequest {
  const { code, silent, store_history, stop_on_error, user_expressions } = message.content;
  return {
    code: typeof code === "string" ? code : "",
    silent: silent === true,
    storeHistory: silent !== true && store_history !== false,
    stopOnError: stop_on_error !== false,
    userExpressions: { ...(user_expressions as object | undefined) },
  };
}

export function createExecutor(parts: Parts): Executor {
  const { connection, compiler, main, history, flush } = parts;
  const parents = new Map<number, { readonly message: Message; readonly silent: boolean }>();
  const nothingRead: CellEvidence = { filesRead: [], seeds: [], versions: versions() };
  let count = 0;
  let lastId = 0;
  let compiling = false;
  let unwanted = false;

  /** Compiles and runs; what the cell declares is accepted when it went well. */
  async function run(message: Message, code: string, silent: boolean): Promise<Partial<CellOutcome>> {
    lastId += 1;
    const id = lastId;
    parents.set(id, { message, silent });
    parents.delete(id - REMEMBERED);
    if (code.trim() === "") return {};
    let compiled: CompiledCell;
    compiling = true;
    unwanted = false;
    try {
      compiled = await compiler.compile(code);
    } catch (error) {
      return { failure: compilerFault(error) };
    } finally {
      compiling = false;
    }
    if (unwanted) return { failure: NOT_STARTED };
    if (compiled.kind === "rejected") {
      return { failure: diagnosticsFailure(compiled.diagnostics, code, count) };
    }
    const outcome = await main.run({ kind: "run", id, count, source: code, code: compiled, silent });
    if (!outcome.failure) await compiler.accept(compiled.declarations);
    return outcome;
  }

  async function expressions(message: Message, wanted: ExecuteRequest["userExpressions"]) {
    const values: Record<string, object> = {};
    for (const [name, code] of Object.entries(wanted)) {
      const { failure, result } = await run(message, `(${String(code)})`, true);
      values[name] = failure
        ? { status: "error", ...wireFailure(failure) }
        : { status: "ok", data: result ?? {}, metadata: {} };
    }
    return values;
  }

  return {
    parentOf: (id) => parents.get(id),
    async interrupt() {
      if (compiling) unwanted = true;
      else await main.interrupt();
    },
    async execute(message) {
      const request = readExecuteRequest(message);
      if (request.storeHistory) {
        count += 1;
        history.add(count, request.code);
      }
      if (!request.silent) {
        void connection.publish("execute_input", { code: request.code, execution_count: count }, message);
      }
      const outcome = await run(message, request.code, request.silent);
      flush();
      const { failure, result } = outcome;
      const number = { execution_count: count };
      if (failure && !request.silent) void connection.publish("error", wireFailure(failure), message);
      if (result && !request.silent) {
        void connection.publish("execute_result", { ...number, data: result, metadata: {} }, message);
      }
      const content = failure
        ? { status: "error", ...number, ...wireFailure(failure), user_expressions: {}, payload: [] }
        : {
            status: "ok",
            ...number,
            user_expressions: await expressions(message, request.userExpressions),
            payload: [],
          };
      const metadata = { ionbook: { ...nothingRead, ...outcome.evidence, ...placeOf(failure) } };
      await connection.reply("shell", message, "execute_reply", content, metadata);
      return !failure;
    },
    async abort(message) {
      const content = { status: "aborted", execution_count: count, user_expressions: {}, payload: [] };
      await connection.reply("shell", message, "execute_reply", content);
    },
  };
}

const NOT_STARTED: Failure = {
  ename: "KeyboardInterrupt",
  evalue: "the cell was interrupted before it ran",
  traceback: ["KeyboardInterrupt: the cell was interrupted before it ran"],
};

function wireFailure({ ename, evalue, traceback }: Failure): object {
  return { ename, evalue, traceback };
}

function placeOf(failure: Failure | undefined): object {
  return failure?.place ? { failedAt: failure.place } : {};
}

/** The compiler itself has stumbled: not the cell's fault, and said so. */
function compilerFault(error: unknown): Failure {
  const { message, stack } = error instanceof Error ? error : new Error(String(error));
  const said = `the compiler failed on this cell: ${message}`;
  return { ename: "CompilerFault", evalue: said, traceback: [said, ...(stack ?? "").split("\n").slice(1)] };
}

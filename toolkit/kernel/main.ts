// Entry of the kernel's process: cells run here, on the main thread; the protocol and the compiler have threads of
// their own, so that heartbeat, interrupt and completion go on while a cell is busy.
import { writeSync } from "node:fs";
import { Worker } from "node:worker_threads";
import { createCellModules } from "./cell-modules.js";
import { createCellRunner, KeyboardInterrupt } from "./cell-runner.js";
import { showValue, wasShown, wireReady } from "./display-bundle.js";
import { traceErrors } from "./error-trace.js";
import { recordEvidence } from "./evidence-recorder.js";
import { guardExit } from "./exit-guard.js";
import { versions } from "./kernel-info.js";
import { captureOutput } from "./output-capture.js";
import { watchBuild } from "./stale-build.js";
import type { FromMain, ProtocolStart, RunCell, ToMain } from "./thread-messages.js";
import { type SendDisplay, tslabShim } from "./tslab-shim.js";

/** Under this name anything in a cell may put a bundle below it, for instance a line of progress. */
const DISPLAY_NOW = Symbol.for("ionbook.display");
/** And under this one take away what stands below it; with `true` only when something new comes. */
const CLEAR = Symbol.for("ionbook.clear");
const STANDARD_ERROR = 2;

const connectionFile = process.argv[process.argv.indexOf("--config") + 1];
if (!process.argv.includes("--config") || connectionFile === undefined) {
  writeSync(STANDARD_ERROR, "usage: main.js --config CONNECTION_FILE (a notebook program starts it so)\n");
  process.exit(1);
}
const interruptFlag = new Int32Array(new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT));
const protocol = new Worker(new URL("./protocol-thread.js", import.meta.url), {
  workerData: { connectionFile, interruptFlag } satisfies ProtocolStart,
  stdout: true,
  stderr: true,
});
for (const stream of [protocol.stdout, protocol.stderr]) {
  stream.on("data", (text: Buffer) => writeSync(STANDARD_ERROR, text));
}
const post = (message: FromMain): void => protocol.postMessage(message);

/** The execution that output belongs to: the running one, else the last. */
let current = 0;
const write = (name: "stdout" | "stderr", text: string) => post({ kind: "stream", id: current, name, text });
const send: SendDisplay = (bundle, { displayId, update = false } = {}) =>
  post({
    kind: "display",
    id: current,
    data: wireReady(bundle),
    metadata: {},
    update,
    ...(displayId === undefined ? {} : { displayId }),
  });
const leave = guardExit((error) => runner.breakOff(error));
const traces = traceErrors();
const own = versions();
const modules = createCellModules(new Map([["tslab", tslabShim(send, own)]]));
const runner = createCellRunner(modules, interruptFlag);
const buildAdvice = watchBuild();
const evidence = recordEvidence(own);

captureOutput(write);
Reflect.set(globalThis, DISPLAY_NOW, send);
Reflect.set(globalThis, CLEAR, (wait = false) => post({ kind: "clear", id: current, wait: wait === true }));
process.on("SIGINT", () => {
  Atomics.store(interruptFlag, 0, 0);
  runner.breakOff(new KeyboardInterrupt());
});
process.on("unhandledRejection", (reason) => tellOf("A promise failed and nothing waited for it.", reason));
process.on("uncaughtException", (error) => tellOf("A timer or callback failed.", error));
protocol.on("error", (error) => {
  writeSync(STANDARD_ERROR, `the kernel's protocol thread failed: ${error.stack ?? error}\n`);
  leave(1);
});
protocol.on("exit", (code) => leave(code));
protocol.on("message", (message: ToMain) => {
  if (message.kind === "run") void runCell(message);
  else if (message.kind === "ping") post({ kind: "pong" });
  else runner.breakOff(new KeyboardInterrupt());
});
// While the compiler warms up on its own thread; a failure shows again when a cell imports the package.
setImmediate(() => void modules.load("ionbook").catch(() => undefined));

function tellOf(what: string, error: unknown): void {
  write("stderr", `${what}\n${traces.failureOf(error).traceback.join("\n")}\n`);
}

async function runCell(cell: RunCell): Promise<void> {
  const { id } = cell;
  current = id;
  const advice = buildAdvice();
  if (advice !== undefined) write("stderr", advice);
  try {
    const value = await runner.run(cell, traces.enter(cell));
    // A promise that failed unseen is told of now, while this cell is still the running one.
    await new Promise((resolve) => setImmediate(resolve));
    const shown = value === undefined || wasShown(value) ? undefined : await showValue(value);
    if (shown?.fault !== undefined) tellOf("The result could not show itself.", shown.fault);
    post({ kind: "done", id, evidence: evidence.take(), ...(shown ? { result: shown.data } : {}) });
  } catch (error) {
    post({ kind: "done", id, evidence: evidence.take(), failure: traces.failureOf(error, id) });
  }
}

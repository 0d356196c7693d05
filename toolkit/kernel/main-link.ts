import { Session } from "node:inspector";
import { setTimeout as pause } from "node:timers/promises";
import type { MessagePort } from "node:worker_threads";
import type { FromMain, RunCell, ToMain } from "./thread-messages.js";

export type CellOutcome = Extract<FromMain, { kind: "done" }>;
export type CellOutput = Exclude<FromMain, { kind: "done" } | { kind: "pong" }>;

/** The main thread as the protocol thread sees it. */
export interface MainLink {
  /** Runs a compiled cell and waits for its end. */
  run(cell: RunCell): Promise<CellOutcome>;
  /** Ends whatever the main thread is doing; it can run the next cell when this has settled. */
  interrupt(): Promise<void>;
}

/** How long the main thread may take to answer before V8 is told to break off its work. */
const PATIENCE = 500;
/** After that, how long a broken-off cell may take to report by itself. */
const LAST_WORDS = 300;
const GLANCE = 10;
const TERMINATIONS = 20;

export function linkToMain(
  port: MessagePort,
  flag: Int32Array,
  onOutput: (output: CellOutput) => void,
): MainLink {
  let running: { readonly id: number; end(outcome: CellOutcome): void } | undefined;
  let pong: (() => void) | undefined;
  const post = (message: ToMain) => port.postMessage(message);
  port.on("message", (message: FromMain) => {
    if (message.kind === "pong") pong?.();
    else if (message.kind !== "done") onOutput(message);
    else if (running?.id === message.id) running.end(message);
  });
  const answers = (): Promise<boolean> =>
    new Promise((resolve) => {
      const timer = setTimeout(() => resolve(false), PATIENCE);
      pong = () => {
        clearTimeout(timer);
        resolve(true);
      };
      post({ kind: "ping" });
    });
  return {
    run: (cell) =>
      new Promise((resolve) => {
        running = {
          id: cell.id,
          end(outcome) {
            running = undefined;
            resolve(outcome);
          },
        };
        post(cell);
      }),
    async interrupt() {
      const meant = running;
      Atomics.store(flag, 0, 1);
      // Stops what runs inside vm's watch. On Windows a signal would end the process instead.
      if (process.platform !== "win32") process.kill(process.pid, "SIGINT");
      post({ kind: "interrupt" });
      if (await answers()) return;
      // A microtask or callback that is broken off may be followed by the next of its kind: until the thread answers.
      for (let tries = 0; tries < TERMINATIONS; tries += 1) {
        await terminateMain();
        if (await answers()) break;
      }
      for (let waited = 0; waited < LAST_WORDS && running === meant; waited += GLANCE) await pause(GLANCE);
      if (meant && running === meant) meant.end(brokenOff(meant.id));
    },
  };
}

/** What is terminated cannot report any more: no `catch` and no `finally` of it runs. */
function brokenOff(id: number): CellOutcome {
  return {
    kind: "done",
    id,
    failure: {
      ename: "KeyboardInterrupt",
      evalue: "the cell was broken off",
      traceback: ["KeyboardInterrupt: the cell was broken off"],
    },
  };
}

let session: Session | undefined;

/** Needs `--no-force-async-hooks-checks`, or Node takes the broken-off work for damage and aborts. */
function terminateMain(): Promise<void> {
  const inspector = session ?? new Session();
  if (!session) inspector.connectToMainThread();
  session = inspector;
  return new Promise((resolve) => inspector.post("Runtime.terminateExecution", () => resolve()));
}

import { setTimeout as sleep } from "node:timers/promises";
import type { Message } from "../../kernel/wire.js";
import { type KernelClient, KernelDied, NoAnswer } from "../client/kernel-client.js";
import type { Output } from "../document.js";
import type { CellPlace } from "./cell-place.js";
import type { CellOutputs } from "./outputs.js";
import {
  deathFailure,
  errorFailure,
  type KernelError,
  type RunFailure,
  timeoutFailure,
} from "./run-failure.js";

/** After an interrupt a cell has this long to end before its kernel is ended, s. */
const GRACE = 5;

/** What became of one cell. */
export interface CellRun {
  readonly executionCount: number | null;
  /** Of the kernel's reply; empty where there was none. */
  readonly metadata: Readonly<Record<string, unknown>>;
  readonly failure: RunFailure | undefined;
}

/**
 * Runs one cell. A cell that takes too long is interrupted, and its kernel ended where that does not help; a cell
 * whose kernel ends under it is told apart from both.
 *
 * @param outputs takes what the cell shows
 */
export async function runCell(
  client: KernelClient,
  place: CellPlace,
  outputs: CellOutputs,
  timeoutSeconds: number,
): Promise<CellRun> {
  const running = client.execute(place.source, {
    onPublished: (message) => outputs.take({ type: message.header.msg_type, content: message.content }),
  });
  try {
    const reply = await within(running, timeoutSeconds);
    if (reply === undefined) return await stopped(client, place, running, timeoutSeconds, outputs);
    const { execution_count: count, status } = reply.content;
    const failure = status === "ok" ? undefined : errorFailure(place, errorIn(reply, outputs.collected()));
    return {
      executionCount: typeof count === "number" ? count : null,
      metadata: reply.metadata,
      failure,
    };
  } catch (error) {
    if (!(error instanceof KernelDied)) throw error;
    return { executionCount: null, metadata: {}, failure: deathFailure(place, error.end) };
  }
}

async function stopped(
  client: KernelClient,
  place: CellPlace,
  running: Promise<Message>,
  timeoutSeconds: number,
  outputs: CellOutputs,
): Promise<CellRun> {
  running.catch(() => {});
  await client.interrupt().catch((error) => {
    if (!(error instanceof NoAnswer || error instanceof KernelDied)) throw error;
  });
  const reply = await within(running, GRACE).catch(() => undefined);
  if (reply === undefined) await client.kill();
  const error = reply?.content.status === "error" ? errorIn(reply, outputs.collected()) : undefined;
  return {
    executionCount: null,
    metadata: reply?.metadata ?? {},
    failure: timeoutFailure(place, timeoutSeconds, error),
  };
}

/** What a promise gives, or undefined when the time is over. */
async function within<T>(promise: Promise<T>, seconds: number): Promise<T | undefined> {
  const timer = new AbortController();
  const over = sleep(1000 * seconds, undefined, { signal: timer.signal }).catch(() => undefined);
  try {
    return await Promise.race([promise, over]);
  } finally {
    timer.abort();
  }
}

/** The error of a failed reply; where the reply itself does not say (an aborted cell), what the cell showed. */
function errorIn(reply: Message, outputs: readonly Output[]): KernelError {
  const shown = outputs.findLast((output) => output.output_type === "error");
  const { ename = shown?.ename, evalue = shown?.evalue, traceback = shown?.traceback } = reply.content;
  return {
    ename: String(ename ?? "Error"),
    evalue: String(evalue ?? `the kernel's answer was "${reply.content.status}"`),
    traceback: Array.isArray(traceback) ? traceback.map(String) : [],
  };
}

// The protocol on a thread of its own: requests are answered and interrupts pass while a cell keeps the main thread busy.
import { setTimeout as pause } from "node:timers/promises";
import { parentPort, workerData } from "node:worker_threads";
import { startCompiler } from "./compiler-client.js";
import { type Channel, type Connection, openConnection } from "./connection.js";
import { createExecutor, readExecuteRequest } from "./execution.js";
import { createHistory } from "./history.js";
import { type CellOutput, linkToMain } from "./main-link.js";
import { watchParent } from "./parent-watch.js";
import { createHandlers } from "./requests.js";
import { createStreamMerger } from "./stream-merger.js";
import type { ProtocolStart } from "./thread-messages.js";
import type { Message } from "./wire.js";

if (!parentPort) throw new Error("protocol-thread runs as a worker thread");
const port = parentPort;
/** Milliseconds between two looks whether the cells have come to an end. */
const BREATH = 100;
const { connectionFile, interruptFlag } = workerData as ProtocolStart;
const compiler = startCompiler();
const history = createHistory();
const handlers = createHandlers(compiler, history);
const streams = createStreamMerger<Message>((parent, name, text) => {
  void connection.publish("stream", { name, text }, parent);
});
const main = linkToMain(port, interruptFlag, showOutput);
const early: [Channel, Message][] = [];
let receive = (channel: Channel, message: Message): void => {
  early.push([channel, message]);
};
const connection: Connection = await openConnection(connectionFile, (channel, message) =>
  receive(channel, message),
);
const executor = createExecutor({ connection, compiler, main, history, flush: streams.flush });
const queue: Message[] = [];
let pumping = false;
let leaving = false;

void connection.publish("status", { execution_state: "starting" });
receive = (channel, message) => {
  if (message.header.msg_type !== "execute_request" || channel !== "shell") void answer(channel, message);
  else {
    queue.push(message);
    void runQueue();
  }
};
for (const [channel, message] of early) receive(channel, message);
watchParent(() => void leave());
void warmUp();

/** The first program costs over a second, the types of the package a quarter more: made while the user still reads. */
async function warmUp(): Promise<void> {
  await compiler.compile("1").catch(() => undefined);
  while (pumping) await pause(BREATH);
  await compiler.preload("ionbook").catch(() => undefined);
}

function showOutput(output: CellOutput): void {
  const parent = executor.parentOf(output.id);
  if (!parent || parent.silent) return;
  const { message } = parent;
  if (output.kind === "stream") {
    streams.write(message, output.name, output.text);
    return;
  }
  streams.flush();
  if (output.kind === "clear") {
    void connection.publish("clear_output", { wait: output.wait }, message);
    return;
  }
  const { data, metadata, displayId, update } = output;
  const transient = displayId === undefined ? {} : { display_id: displayId };
  const type = update ? "update_display_data" : "display_data";
  void connection.publish(type, { data, metadata, transient }, message);
}

function status(state: "busy" | "idle", parent: Message): void {
  streams.flush();
  void connection.publish("status", { execution_state: state }, parent);
}

/** Cells run one after another; behind a failed one the waiting ones are sent back, if they were to stop. */
async function runQueue(): Promise<void> {
  if (pumping) return;
  pumping = true;
  for (let message = queue.shift(); message; message = queue.shift()) {
    status("busy", message);
    const fine = await executor.execute(message);
    status("idle", message);
    if (fine || !readExecuteRequest(message).stopOnError) continue;
    for (const waiting of queue.splice(0)) {
      status("busy", waiting);
      await executor.abort(waiting);
      status("idle", waiting);
    }
  }
  pumping = false;
}

async function answer(channel: Channel, message: Message): Promise<void> {
  const type = message.header.msg_type;
  // Messages of widgets expect no answer, and there are none here.
  if (!type.endsWith("_request")) return;
  status("busy", message);
  const replyType = type.replace(/_request$/, "_reply");
  const content = await contentFor(type, message).catch(errorContent);
  await connection.reply(channel, message, replyType, content);
  if (type === "shutdown_request") await connection.publish(replyType, content, message);
  status("idle", message);
  if (type === "shutdown_request") await leave();
}

async function contentFor(type: string, message: Message): Promise<object> {
  if (type === "interrupt_request") {
    await executor.interrupt();
    return { status: "ok" };
  }
  if (type === "shutdown_request") return { status: "ok", restart: message.content.restart === true };
  const handler = handlers.get(type);
  if (!handler) throw new Error(`this kernel does not answer ${type}`);
  return handler(message.content);
}

function errorContent(error: unknown): object {
  const { name, message } = error instanceof Error ? error : new Error(String(error));
  return { status: "error", ename: name, evalue: message, traceback: [`${name}: ${message}`] };
}

/** Closes everything, so that this thread ends by itself; the main thread then leaves on its `exit` event. */
async function leave(): Promise<void> {
  if (leaving) return;
  leaving = true;
  queue.length = 0;
  if (pumping) await executor.interrupt();
  await compiler.close();
  await connection.close();
  port.close();
}

import { randomUUID } from "node:crypto";
import { setTimeout as sleep } from "node:timers/promises";
import type { Dealer, Subscriber } from "zeromq";
import { IonbookError } from "../../errors.js";
import { BrokenMessage, type Message, Wire } from "../../kernel/wire.js";
import { type KernelEnd, KernelProcess, type KernelSpec } from "./kernel-process.js";

/** The kernel's process ended while an answer was awaited. */
export class KernelDied extends Error {
  override readonly name = "KernelDied";
  readonly end: KernelEnd;

  constructor(end: KernelEnd) {
    super(`the kernel ended (${end.signal ?? `exit code ${end.code}`})`);
    this.end = end;
  }
}

/** The answer to a request did not come in time. */
export class NoAnswer extends Error {
  override readonly name = "NoAnswer";
}

export interface RequestOptions {
  readonly channel?: "shell" | "control";
  /** What the kernel publishes about this request, as it comes. */
  readonly onPublished?: (message: Message) => void;
  /** @throws NoAnswer when this time is over. @default no limit */
  readonly timeoutSeconds?: number;
}

interface Sockets {
  readonly shell: Dealer;
  readonly control: Dealer;
  readonly iopub: Subscriber;
}

interface Pending {
  reply: Message | undefined;
  idle: boolean;
  readonly onPublished: ((message: Message) => void) | undefined;
  readonly done: (reply: Message) => void;
}

/** Between two questions whether a starting kernel is ready, s. */
const ASK_EVERY = 0.1;
/** A kernel that was asked to leave is ended after this time, s. */
const LEAVE_WITHIN = 3;

/**
 * Talks to one kernel in the Jupyter protocol. A request is answered when its reply has come and the kernel has
 * published that it is idle again: then all that the request caused has been published too.
 *
 * @source Jupyter client documentation, "Messaging in Jupyter", protocol 5.4 (from memory)
 */
export class KernelClient {
  readonly process: KernelProcess;
  /** Content of the kernel's answer to kernel_info_request. */
  info: Readonly<Record<string, unknown>> = {};
  readonly #spec: KernelSpec;
  readonly #wire: Wire;
  readonly #sockets: Sockets;
  readonly #session = randomUUID();
  readonly #pending = new Map<string, Pending>();
  readonly #died: Promise<never>;

  private constructor(spec: KernelSpec, kernel: KernelProcess, sockets: Sockets) {
    this.#spec = spec;
    this.process = kernel;
    this.#wire = new Wire(kernel.connection.key);
    this.#sockets = sockets;
    this.#died = kernel.ended.then((end) => {
      throw new KernelDied(end);
    });
    this.#died.catch(() => {});
    void this.#listen(sockets.shell, (message) => this.#replied(message));
    void this.#listen(sockets.control, (message) => this.#replied(message));
    void this.#listen(sockets.iopub, (message) => this.#published(message));
  }

  /**
   * Starts a kernel and waits until it answers and its published messages arrive here.
   *
   * @throws KernelDied; IonbookError "kernel-not-ready" after `startTimeoutSeconds`
   */
  static async start(
    spec: KernelSpec,
    options: { readonly cwd: string; readonly startTimeoutSeconds: number },
  ): Promise<KernelClient> {
    const kernel = await KernelProcess.start(spec, options);
    const client = new KernelClient(spec, kernel, await openSockets(kernel));
    try {
      client.info = await client.#untilReady(options.startTimeoutSeconds);
    } catch (error) {
      await client.kill();
      throw error;
    }
    return client;
  }

  /** Runs the code of a cell and returns the execute_reply. Nothing is queued behind it that a failure would drop. */
  execute(code: string, options: RequestOptions = {}): Promise<Message> {
    const about = { silent: false, store_history: true, user_expressions: {}, allow_stdin: false };
    return this.request("execute_request", { code, ...about, stop_on_error: false }, options);
  }

  /** @throws KernelDied; NoAnswer after `timeoutSeconds` */
  async request(
    type: string,
    content: Readonly<Record<string, unknown>>,
    options: RequestOptions = {},
  ): Promise<Message> {
    const message = this.#wire.make(type, content, { session: this.#session });
    const id = message.header.msg_id;
    const { onPublished, channel = "shell", timeoutSeconds } = options;
    const answered = new Promise<Message>((done) => {
      this.#pending.set(id, { reply: undefined, idle: false, onPublished, done });
    });
    const timer = new AbortController();
    try {
      await this.#sockets[channel].send(this.#wire.encode(message));
      const late = timeoutSeconds === undefined ? [] : [tooLate(type, timeoutSeconds, timer.signal)];
      return await Promise.race([answered, this.#died, ...late]);
    } finally {
      timer.abort();
      this.#pending.delete(id);
    }
  }

  /** Asks the running cell to stop, in the way that the kernelspec names. */
  async interrupt(): Promise<void> {
    if (this.#spec.interrupt_mode !== "message") this.process.interrupt();
    else await this.request("interrupt_request", {}, { channel: "control", timeoutSeconds: LEAVE_WITHIN });
  }

  /** Asks the kernel to leave, and ends it where it does not. */
  async shutdown(): Promise<void> {
    if (this.process.end === undefined) {
      const asked = this.request("shutdown_request", { restart: false }, { channel: "control" });
      await Promise.race([asked.catch(() => {}), sleep(1000 * LEAVE_WITHIN, undefined, { ref: false })]);
      await Promise.race([this.process.ended, sleep(1000 * LEAVE_WITHIN, undefined, { ref: false })]);
    }
    await this.kill();
  }

  /** Ends the kernel without asking. */
  async kill(): Promise<void> {
    await this.process.kill();
    for (const socket of Object.values(this.#sockets)) socket.close();
  }

  async #untilReady(seconds: number): Promise<Message["content"]> {
    const end = performance.now() + 1000 * seconds;
    while (performance.now() < end) {
      try {
        return (await this.request("kernel_info_request", {}, { timeoutSeconds: ASK_EVERY })).content;
      } catch (error) {
        // A subscriber that joins late misses the first idle message: ask again until one arrives.
        if (!(error instanceof NoAnswer)) throw error;
      }
    }
    throw new IonbookError(
      "kernel-not-ready",
      `the kernel did not answer within ${seconds} s: try again when the machine is less busy`,
    );
  }

  async #listen(socket: AsyncIterable<Buffer[]>, take: (message: Message) => void): Promise<void> {
    // Ends when the socket is closed.
    for await (const frames of socket) {
      const message = this.#decoded(frames);
      if (message !== undefined) take(message);
    }
  }

  /** A message that is not signed with our key is not the kernel's: it is passed over. */
  #decoded(frames: readonly Uint8Array[]): Message | undefined {
    try {
      return this.#wire.decode(frames);
    } catch (error) {
      if (error instanceof BrokenMessage) return undefined;
      throw error;
    }
  }

  #replied(message: Message): void {
    const pending = this.#pending.get(message.parent.msg_id ?? "");
    if (pending === undefined) return;
    pending.reply = message;
    if (pending.idle) pending.done(message);
  }

  #published(message: Message): void {
    const pending = this.#pending.get(message.parent.msg_id ?? "");
    if (pending === undefined) return;
    pending.onPublished?.(message);
    if (message.header.msg_type !== "status" || message.content.execution_state !== "idle") return;
    pending.idle = true;
    if (pending.reply !== undefined) pending.done(pending.reply);
  }
}

async function openSockets(kernel: KernelProcess): Promise<Sockets> {
  const { Dealer, Subscriber } = await import("zeromq");
  const shell = new Dealer({ linger: 0, routingId: randomUUID() });
  const control = new Dealer({ linger: 0, routingId: randomUUID() });
  const iopub = new Subscriber({ linger: 0 });
  shell.connect(kernel.address("shell"));
  control.connect(kernel.address("control"));
  iopub.connect(kernel.address("iopub"));
  iopub.subscribe();
  return { shell, control, iopub };
}

async function tooLate(type: string, seconds: number, signal: AbortSignal): Promise<never> {
  try {
    await sleep(1000 * seconds, undefined, { signal });
  } catch {
    return new Promise<never>(() => {});
  }
  throw new NoAnswer(`no answer to ${type} within ${seconds} s`);
}

import { randomUUID } from "node:crypto";
import { readFileSync } from "node:fs";
import { Publisher, Reply, Router } from "zeromq";
import { BrokenMessage, type Message, Wire } from "./wire.js";

export type Channel = "shell" | "control";

/** The five sockets of a kernel, and messages instead of frames. */
export interface Connection {
  /** Answers a request on the channel it came from. */
  reply(channel: Channel, to: Message, type: string, content: object, metadata?: object): Promise<void>;
  /** Tells every front end; `parent` is the request that caused it. */
  publish(type: string, content: object, parent?: Message): Promise<void>;
  /** Sends what is still waiting and closes the sockets. */
  close(): Promise<void>;
}

interface ConnectionFile {
  readonly transport: string;
  readonly ip: string;
  readonly key: string;
  readonly signature_scheme?: string;
  readonly shell_port: number;
  readonly control_port: number;
  readonly stdin_port: number;
  readonly iopub_port: number;
  readonly hb_port: number;
}

/** Milliseconds that a closed socket may still take to deliver. */
const LINGER = 1000;

/**
 * Binds the sockets of a connection file and hands every well-signed request of shell and control to `receive`.
 *
 * @source Jupyter client documentation, "Messaging in Jupyter" (from memory)
 */
export async function openConnection(
  file: string,
  receive: (channel: Channel, message: Message) => void,
): Promise<Connection> {
  const config = JSON.parse(readFileSync(file, "utf8")) as ConnectionFile;
  const wire = new Wire(config.key, config.signature_scheme);
  const session = randomUUID();
  const options = { linger: LINGER };
  const routers = { shell: new Router(options), control: new Router(options) };
  const stdin = new Router(options);
  // No limit: a message that zeromq drops is a line of output lost.
  const iopub = new Publisher({ ...options, sendHighWaterMark: 0 });
  const heartbeat = new Reply(options);
  const divider = config.transport === "ipc" ? "-" : ":";
  const address = (port: number) => `${config.transport}://${config.ip}${divider}${port}`;
  await Promise.all([
    iopub.bind(address(config.iopub_port)),
    routers.shell.bind(address(config.shell_port)),
    routers.control.bind(address(config.control_port)),
    stdin.bind(address(config.stdin_port)),
    heartbeat.bind(address(config.hb_port)),
  ]);
  for (const channel of ["shell", "control"] as const) {
    void listen(routers[channel], (frames) => deliver(wire, frames, (message) => receive(channel, message)));
  }
  void listen(heartbeat, (frames) => heartbeat.send(frames));
  const queues = { shell: sender(routers.shell), control: sender(routers.control), iopub: sender(iopub) };
  return {
    reply: (channel, to, type, content, metadata = {}) =>
      queues[channel](
        wire.encode(
          wire.make(type, { ...content }, { session, parent: to, metadata: metadata as Message["metadata"] }),
        ),
      ),
    publish: (type, content, parent) => {
      const identities = [Buffer.from(`kernel.${session}.${type}`)];
      return queues.iopub(wire.encode(wire.make(type, { ...content }, { session, parent, identities })));
    },
    async close() {
      await Promise.all(Object.values(queues).map((send) => send(undefined)));
      for (const socket of [routers.shell, routers.control, stdin, iopub, heartbeat]) socket.close();
    },
  };
}

type Frames = readonly (Uint8Array | string)[];

/** Sends one after another: a second `send` before the first is done fails with "socket is busy". */
function sender(socket: Router | Publisher): (frames: Frames | undefined) => Promise<void> {
  let before: Promise<void> = Promise.resolve();
  return (frames) => {
    // A front end that has gone away is no fault of this kernel; what it missed cannot be delivered any more.
    if (frames) before = before.then(() => socket.send(frames as (Buffer | string)[])).catch(() => undefined);
    return before;
  };
}

async function listen(socket: Router | Reply, hand: (frames: Buffer[]) => unknown): Promise<void> {
  for await (const frames of socket) await hand(frames);
}

/** Messages that are broken or signed with another key are not for us, and unanswered. */
function deliver(wire: Wire, frames: readonly Buffer[], hand: (message: Message) => void): void {
  let message: Message;
  try {
    message = wire.decode(frames);
  } catch (error) {
    if (error instanceof BrokenMessage) return;
    throw error;
  }
  hand(message);
}

// A front end as small as it can be: starts a kernel from its kernelspec and speaks the protocol with it. Shares no
// code with the kernel, so that a mistake of the one is not made by the other too.
import { type ChildProcess, spawn } from "node:child_process";
import { createHmac, randomUUID } from "node:crypto";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { Dealer, Request, Subscriber } from "zeromq";

export const ROOT = fileURLToPath(new URL("../../", import.meta.url));

/** A message as a front end sees it. */
export interface Received {
  readonly channel: "shell" | "control" | "iopub";
  readonly type: string;
  readonly parent: string;
  // biome-ignore lint/suspicious/noExplicitAny: contents of a protocol without types
  readonly content: any;
  // biome-ignore lint/suspicious/noExplicitAny: as above
  readonly metadata: any;
}

/** Everything that answers one request. */
export interface Answered {
  readonly reply: Received;
  /** What was published for it, in order, from busy to idle. */
  readonly published: readonly Received[];
}

export interface Client {
  readonly process: ChildProcess;
  /** Sends a request and waits for its reply and the idle that ends it. */
  ask(type: string, content: object, options?: AskOptions): Promise<Answered>;
  /** Sends without waiting; returns the id. */
  send(type: string, content: object, options?: AskOptions): Promise<string>;
  /** Waits for reply and idle of a request that was sent. */
  answer(id: string): Promise<Answered>;
  run(code: string, more?: object): Promise<Answered>;
  /** Waits until something that fits has come, now or earlier. */
  wait(fits: (message: Received) => boolean): Promise<Received>;
  heartbeat(): Promise<string>;
  /** Settles with code or signal when the process has ended. */
  readonly ended: Promise<{ readonly code: number | null; readonly signal: string | null }>;
  close(): Promise<void>;
}

interface AskOptions {
  readonly channel?: "shell" | "control";
  readonly key?: string;
}

/** Starts the built kernel in a folder and waits until it answers on every channel. */
export async function startKernel(cwd = ROOT, env: NodeJS.ProcessEnv = process.env): Promise<Client> {
  const spec = await import(pathToFileURL(join(ROOT, "toolkit", "dist", "kernel", "kernelspec.js")).href);
  const folder = mkdtempSync(join(tmpdir(), "ionbook-kernel-"));
  const key = randomUUID();
  const [shell, control, iopub, stdin, hb] = await freePorts(5);
  const file = join(folder, "connection.json");
  const connection = {
    transport: "tcp",
    ip: "127.0.0.1",
    key,
    signature_scheme: "hmac-sha256",
    shell_port: shell,
    control_port: control,
    iopub_port: iopub,
    stdin_port: stdin,
    hb_port: hb,
  };
  writeFileSync(file, JSON.stringify(connection), { mode: 0o600 });
  const [program, ...args] = (spec.kernelSpec().argv as string[]).map((arg) =>
    arg.replace("{connection_file}", file),
  );
  const child = spawn(program, args, { cwd, env, stdio: ["ignore", "inherit", "inherit"] });
  const ended = new Promise<{ code: number | null; signal: string | null }>((resolve) => {
    child.on("exit", (code, signal) => resolve({ code, signal }));
  });
  const client = connect(child, ended, key, { shell, control, iopub, hb }, folder);
  await client.ready();
  return client;
}

type Ports = Readonly<Record<"shell" | "control" | "iopub" | "hb", number>>;

function connect(child: ChildProcess, ended: Client["ended"], key: string, ports: Ports, folder: string) {
  const at = (port: number) => `tcp://127.0.0.1:${port}`;
  const session = randomUUID();
  const sockets = {
    shell: new Dealer({ linger: 0, routingId: session }),
    control: new Dealer({ linger: 0, routingId: session }),
    iopub: new Subscriber({ linger: 0 }),
  };
  const beat = new Request({ linger: 0 });
  beat.connect(at(ports.hb));
  sockets.iopub.subscribe();
  const seen: Received[] = [];
  const watchers = new Set<() => void>();
  for (const channel of ["shell", "control", "iopub"] as const) {
    sockets[channel].connect(at(ports[channel]));
    void (async () => {
      for await (const frames of sockets[channel]) {
        seen.push(decode(channel, frames, key));
        for (const look of [...watchers]) look();
      }
    })();
  }
  const wait: Client["wait"] = (fits) =>
    new Promise((resolve, reject) => {
      const look = (): boolean => {
        const found = seen.find(fits);
        if (!found) return false;
        watchers.delete(watch);
        resolve(found);
        return true;
      };
      const watch = (): void => void look();
      watchers.add(watch);
      if (!look()) void ended.then(() => reject(new Error("the kernel ended before it answered")));
    });
  const send: Client["send"] = async (type, content, options = {}) => {
    const id = randomUUID();
    const date = new Date().toISOString();
    const header = { msg_id: id, msg_type: type, session, username: "test", date, version: "5.4" };
    const parts = [header, {}, {}, content].map((part) => JSON.stringify(part));
    const channel = sockets[options.channel ?? "shell"];
    await channel.send(["<IDS|MSG>", sign(options.key ?? key, parts), ...parts]);
    return id;
  };
  const answer: Client["answer"] = async (id) => {
    const [reply] = await Promise.all([
      wait((each) => each.channel !== "iopub" && each.parent === id),
      wait((each) => each.parent === id && each.content.execution_state === "idle"),
    ]);
    return { reply, published: seen.filter((each) => each.channel === "iopub" && each.parent === id) };
  };
  const ask: Client["ask"] = async (type, content, options) => answer(await send(type, content, options));
  return {
    process: child,
    ended,
    ask,
    send,
    answer,
    wait,
    run: (code: string, more: object = {}) =>
      ask("execute_request", { code, silent: false, store_history: true, stop_on_error: true, ...more }),
    async heartbeat() {
      await beat.send("beat");
      const [frame] = await beat.receive();
      return frame.toString();
    },
    /** Asks again until also the published half of an answer arrives: a subscription needs a moment. */
    async ready() {
      for (;;) {
        const id = await send("kernel_info_request", {});
        const idle = wait((each) => each.channel === "iopub" && each.parent === id);
        await wait((each) => each.channel === "shell" && each.parent === id);
        const late = new Promise((resolve) => setTimeout(resolve, 100, "late"));
        if ((await Promise.race([idle, late])) !== "late") return;
      }
    },
    async close() {
      if (child.exitCode === null && child.signalCode === null) child.kill("SIGKILL");
      await ended;
      for (const socket of [...Object.values(sockets), beat]) socket.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

function sign(key: string, parts: readonly (string | Buffer)[]): string {
  const hash = createHmac("sha256", key);
  for (const part of parts) hash.update(part);
  return hash.digest("hex");
}

function decode(channel: Received["channel"], frames: readonly Buffer[], key: string): Received {
  const at = frames.findIndex((frame) => frame.toString() === "<IDS|MSG>");
  const parts = frames.slice(at + 2, at + 6);
  if (frames[at + 1].toString() !== sign(key, parts)) throw new Error("the kernel signed with another key");
  const [header, parent, metadata, content] = parts.map((part) => JSON.parse(part.toString()));
  return { channel, type: header.msg_type, parent: parent.msg_id ?? "", content, metadata };
}

async function freePorts(count: number): Promise<number[]> {
  const servers = await Promise.all(
    Array.from({ length: count }, async () => {
      const server = createServer().listen(0, "127.0.0.1");
      await new Promise((resolve) => server.once("listening", resolve));
      return server;
    }),
  );
  const ports = servers.map((server) => (server.address() as { port: number }).port);
  await Promise.all(servers.map((server) => new Promise((resolve) => server.close(resolve))));
  return ports;
}

/** Text of a stream, whole. */
export function streamText(answered: Answered, name = "stdout"): string {
  const parts = answered.published.filter((each) => each.type === "stream" && each.content.name === name);
  return parts.map((each) => each.content.text).join("");
}

export function resultOf(answered: Answered): Record<string, unknown> | undefined {
  return answered.published.find((each) => each.type === "execute_result")?.content.data;
}

export function errorOf(
  answered: Answered,
): { ename: string; evalue: string; traceback: string[] } | undefined {
  return answered.published.find((each) => each.type === "error")?.content;
}

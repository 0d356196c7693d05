import { type ChildProcess, spawn } from "node:child_process";
import { randomBytes } from "node:crypto";
import { rmSync } from "node:fs";
import { mkdtemp, writeFile } from "node:fs/promises";
import { type AddressInfo, createServer, type Server } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { IonbookError } from "../../errors.js";

/** How a kernel is started: the content of a kernel.json. */
export interface KernelSpec {
  /** Program and words; "{connection_file}" stands for the path of the connection file. */
  readonly argv: readonly string[];
  readonly display_name: string;
  readonly language: string;
  readonly interrupt_mode?: "signal" | "message";
  readonly env?: Readonly<Record<string, string>>;
}

/** Where the kernel listens and the secret that signs the messages. */
export interface Connection {
  readonly key: string;
  readonly ports: Readonly<Record<"shell" | "iopub" | "stdin" | "control" | "hb", number>>;
}

/** How a kernel process ended, and the last that it wrote to standard error. */
export interface KernelEnd {
  readonly code: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly lastWords: string;
}

const HOST = "127.0.0.1";
const CHANNELS = ["shell", "iopub", "stdin", "control", "hb"] as const;
/** As much of the kernel's standard error is kept, characters. */
const KEPT_WORDS = 4000;

/**
 * A kernel in a process of its own. Its connection file, readable for this user only, lies in a temporary folder
 * that goes when the kernel ends, or when this process does.
 */
export class KernelProcess {
  readonly connection: Connection;
  /** Settles when the process has ended; never rejects. */
  readonly ended: Promise<KernelEnd>;
  readonly #child: ChildProcess;
  readonly #atExit: () => void;
  #end: KernelEnd | undefined;

  private constructor(child: ChildProcess, connection: Connection, folder: string) {
    this.#child = child;
    this.connection = connection;
    this.#atExit = () => {
      child.kill("SIGKILL");
      rmSync(folder, { recursive: true, force: true });
    };
    process.once("exit", this.#atExit);
    const words = keepLastWords(child);
    this.ended = new Promise((resolve) => {
      const finish = (code: number | null, signal: NodeJS.Signals | null, why = ""): void => {
        process.off("exit", this.#atExit);
        rmSync(folder, { recursive: true, force: true });
        this.#end ??= { code, signal, lastWords: `${words()}${why}`.trim() };
        resolve(this.#end);
      };
      child.once("close", (code, signal) => finish(code, signal));
      child.once("error", (error) => finish(null, null, error.message));
    });
  }

  /**
   * Starts a kernel; it is not yet asked whether it answers.
   *
   * @param options.cwd folder in which the cells run
   */
  static async start(spec: KernelSpec, options: { readonly cwd: string }): Promise<KernelProcess> {
    const [program, ...words] = spec.argv;
    if (program === undefined) {
      throw new IonbookError("bad-kernelspec", "the kernelspec names no program: give it an argv");
    }
    const folder = await mkdtemp(join(tmpdir(), "ionbook-kernel-"));
    const connection = { key: randomBytes(24).toString("hex"), ports: await freePorts() };
    const file = join(folder, "connection.json");
    await writeFile(file, connectionText(connection), { mode: 0o600 });
    const child = spawn(
      program,
      words.map((word) => word.replaceAll("{connection_file}", file)),
      {
        cwd: options.cwd,
        env: { ...process.env, ...spec.env, JPY_PARENT_PID: String(process.pid) },
        stdio: ["ignore", "pipe", "pipe"],
      },
    );
    return new KernelProcess(child, connection, folder);
  }

  /** How it ended; undefined while it runs. */
  get end(): KernelEnd | undefined {
    return this.#end;
  }

  address(channel: keyof Connection["ports"]): string {
    return `tcp://${HOST}:${this.connection.ports[channel]}`;
  }

  /** Sends SIGINT, for kernels that want to be interrupted by a signal. */
  interrupt(): void {
    this.#child.kill("SIGINT");
  }

  /** Ends the process without asking it; settles when it is gone. */
  async kill(): Promise<KernelEnd> {
    this.#child.kill("SIGKILL");
    return this.ended;
  }
}

function connectionText({ key, ports }: Connection): string {
  const named = CHANNELS.map((channel) => [`${channel}_port`, ports[channel]]);
  const about = { transport: "tcp", ip: HOST, key, signature_scheme: "hmac-sha256" };
  return JSON.stringify({ ...about, ...Object.fromEntries(named) });
}

/** Ports that nobody listens on: all are held at once, so that they differ, and then let go. */
async function freePorts(): Promise<Connection["ports"]> {
  const servers = await Promise.all(CHANNELS.map(() => listening()));
  const ports = servers.map((server) => (server.address() as AddressInfo).port);
  await Promise.all(servers.map((server) => new Promise((resolve) => server.close(resolve))));
  return Object.fromEntries(CHANNELS.map((channel, i) => [channel, ports[i]])) as Connection["ports"];
}

function listening(): Promise<Server> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once("error", reject);
    server.listen(0, HOST, () => resolve(server));
  });
}

function keepLastWords(child: ChildProcess): () => string {
  let words = "";
  child.stdout?.resume();
  child.stderr?.setEncoding("utf8").on("data", (text: string) => {
    words = `${words}${text}`.slice(-KEPT_WORDS);
  });
  return () => words;
}

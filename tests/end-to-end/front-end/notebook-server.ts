import { type ChildProcess, spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { type AddressInfo, createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";

/** A real Jupyter notebook server on a folder of its own, with our kernel as the only installed one of this user. */
export interface NotebookServer {
  /** Address of a notebook in the folder. */
  readonly address: (notebook: string) => string;
  readonly stop: () => void;
}

const TOKEN = "only-for-this-test";
const START_WITHIN = 20;

/**
 * @param python a Python that can import `notebook`
 * @param root the checkout: its node_modules and its command
 * @param notebooks files to put into the folder, by name
 */
export async function startNotebookServer(
  python: string,
  root: string,
  notebooks: Readonly<Record<string, string>>,
): Promise<NotebookServer> {
  const home = mkdtempSync(join(tmpdir(), "ionbook-front-end-"));
  const folder = join(home, "work");
  mkdirSync(folder);
  symlinkSync(join(root, "node_modules"), join(folder, "node_modules"));
  for (const [name, text] of Object.entries(notebooks)) writeFileSync(join(folder, name), text);
  const env = {
    ...process.env,
    HOME: home,
    JUPYTER_DATA_DIR: join(home, "data"),
    JUPYTER_CONFIG_DIR: join(home, "config"),
    JUPYTER_RUNTIME_DIR: join(home, "runtime"),
    PYTHONDONTWRITEBYTECODE: "1",
  };
  await finished(
    spawn(process.execPath, [join(root, "toolkit", "bin", "ionbook.js"), "kernel", "install"], { env }),
  );
  const port = await freePort();
  const words = ["-m", "notebook", "--no-browser", "--allow-root", `--port=${port}`, "--ip=127.0.0.1"];
  const server = spawn(python, [...words, `--NotebookApp.token=${TOKEN}`, "--port-retries=0", folder], {
    cwd: folder,
    env,
    stdio: ["ignore", "ignore", "pipe"],
  });
  const stop = (): void => {
    server.kill("SIGTERM");
    rmSync(home, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  };
  try {
    await answering(`http://127.0.0.1:${port}/api/status?token=${TOKEN}`, server);
  } catch (error) {
    stop();
    throw error;
  }
  return { address: (name) => `http://127.0.0.1:${port}/notebooks/${name}?token=${TOKEN}`, stop };
}

function finished(child: ChildProcess): Promise<void> {
  return new Promise((resolve, reject) => {
    child.once("error", reject);
    child.once("close", (code) =>
      code === 0 ? resolve() : reject(new Error(`the kernel was not installed: exit code ${code}`)),
    );
  });
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return port;
}

async function answering(address: string, server: ChildProcess): Promise<void> {
  let words = "";
  server.stderr?.on("data", (part) => {
    words = `${words}${part}`.slice(-2000);
  });
  const end = performance.now() + 1000 * START_WITHIN;
  while (performance.now() < end) {
    const answer = await fetch(address).catch(() => undefined);
    if (answer?.ok) return;
    if (server.exitCode !== null) break;
    await sleep(100);
  }
  throw new Error(`the notebook server did not start:\n${words}`);
}

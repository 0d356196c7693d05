import { mkdirSync, renameSync, writeFileSync } from "node:fs";
import { homedir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** What a front end reads to start the kernel. */
export interface KernelSpec {
  readonly argv: readonly string[];
  readonly display_name: string;
  readonly language: string;
  readonly interrupt_mode: "message";
}

const NAME = "ionbook";

/** The kernel of this very installation, run by the Node that runs now; no shell is needed. */
export function kernelSpec(): KernelSpec {
  return {
    argv: [
      process.execPath,
      // Without it Node aborts where a cell that does not listen is broken off.
      "--no-force-async-hooks-checks",
      "--disable-warning=ExperimentalWarning",
      fileURLToPath(new URL("./main.js", import.meta.url)),
      "--config",
      "{connection_file}",
    ],
    display_name: "Ionbook (TypeScript)",
    language: "typescript",
    interrupt_mode: "message",
  };
}

/**
 * Writes the kernelspec where front ends look for it and returns its folder. A front end that reads at the same
 * moment sees the old file or the new one, never a part.
 *
 * @param options.dataDir Jupyter's data folder; default `$JUPYTER_DATA_DIR`, else the platform's own
 */
export function installKernelspec(options: { readonly dataDir?: string } = {}): string {
  const folder = join(options.dataDir ?? jupyterDataDir(), "kernels", NAME);
  mkdirSync(folder, { recursive: true });
  const file = join(folder, "kernel.json");
  const draft = `${file}.${process.pid}`;
  writeFileSync(draft, `${JSON.stringify(kernelSpec(), null, 2)}\n`);
  renameSync(draft, file);
  return folder;
}

/** @source Jupyter documentation, "Common directories and file locations" (from memory) */
function jupyterDataDir(): string {
  const { JUPYTER_DATA_DIR, XDG_DATA_HOME, APPDATA } = process.env;
  if (JUPYTER_DATA_DIR) return JUPYTER_DATA_DIR;
  if (process.platform === "darwin") return join(homedir(), "Library", "Jupyter");
  if (process.platform === "win32") return join(APPDATA ?? join(homedir(), "AppData", "Roaming"), "jupyter");
  return join(XDG_DATA_HOME || join(homedir(), ".local", "share"), "jupyter");
}

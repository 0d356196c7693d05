import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";

const command = fileURLToPath(new URL("../../toolkit/bin/ionbook.js", import.meta.url));

/** Runs the built `ionbook quantify` on the folders of an investigation, as a person would. */
export function quantifyFolders(folders: readonly string[], out: string): void {
  const done = spawnSync(process.execPath, [command, "quantify", ...folders, "--out", out, "--force"], {
    encoding: "utf8",
  });
  if (done.status !== 0)
    throw new Error(`quantify ended with ${done.status ?? done.signal}: ${done.stderr || done.stdout}`);
}

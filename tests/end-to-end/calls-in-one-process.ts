import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";

/** What a call of the command ended with and said. */
export interface Done {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

const MAIN = new URL("../../toolkit/dist/command/main.js", import.meta.url);

/** Reads calls from standard input and answers with what each of them ended with and wrote. */
const SCRIPT = `
import { readFileSync } from "node:fs";
const { run } = await import(process.argv[1]);
const tell = process.stdout.write.bind(process.stdout);
const done = [];
for (const args of JSON.parse(readFileSync(0, "utf8"))) {
  const said = { out: "", err: "" };
  process.stdout.write = (text) => (said.out += text, true);
  process.stderr.write = (text) => (said.err += text, true);
  done.push({ code: await run(args), ...said });
}
tell(JSON.stringify(done));
`;

/**
 * Calls of the built command one after the other, as the executable makes each of them, but in one process in `folder`:
 * a process for each spends its time on starting.
 */
export function callsInOneProcess(calls: readonly (readonly string[])[], folder: string): readonly Done[] {
  const { NO_COLOR: _, IONBOOK_DEBUG: __, ...env } = process.env;
  const options = { cwd: folder, encoding: "utf8", env, input: JSON.stringify(calls) } as const;
  const child = spawnSync(process.execPath, ["--input-type=module", "-e", SCRIPT, MAIN.href], options);
  if (child.status !== 0) throw new Error(`${fileURLToPath(MAIN)} could not be called: ${child.stderr}`);
  return JSON.parse(child.stdout);
}

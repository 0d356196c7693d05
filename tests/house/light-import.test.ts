import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const root = fileURLToPath(new URL("../..", import.meta.url));

/** Names of the packages that a script loads, told by a hook of Node's own loader. */
function packagesLoadedBy(script: string): readonly string[] {
  const hook =
    "export async function load(url, context, next) { process._rawDebug(url); return next(url, context); }";
  const started = `import { register } from "node:module"; register("data:text/javascript,${encodeURIComponent(hook)}"); ${script}`;
  const run = spawnSync(process.execPath, ["--input-type=module", "-e", started], {
    cwd: root,
    encoding: "utf8",
  });
  expect(run.status, run.stderr).toBe(0);
  expect(run.stderr).toContain("/toolkit/dist/index.js");
  const names = [...run.stderr.matchAll(/\/node_modules\/((?:@[^/\n]+\/)?[^/\n]+)\//g)].map(
    (match) => match[1] ?? "",
  );
  return [...new Set(names)].sort();
}

describe('import "ionbook"', () => {
  it("opens no package but csv-parse: all others wait until they are needed", () => {
    expect(packagesLoadedBy('await import("ionbook");')).toEqual(["csv-parse"]);
  });

  it("would be caught at opening a heavy one", () => {
    expect(packagesLoadedBy('await import("ionbook"); await import("danfojs-node");')).toContain(
      "danfojs-node",
    );
  });
});

// The Jupyter project's own conformance suite, where it is installed (Debian: python3-jupyter-kernel-test). The tests in
// tests/kernel/ say the same in TypeScript and always run.
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, describe, expect, it } from "vitest";
import { pythonWith } from "./front-end/python.js";

const ROOT = fileURLToPath(new URL("../../", import.meta.url));
const python = pythonWith("jupyter_kernel_test", "jupyter_client");
if (python === undefined) {
  console.warn(
    "tests/end-to-end/kernel-conformance: skipped, Jupyter's kernel tests are not on this machine (apt-get install python3-jupyter-kernel-test)",
  );
}

describe.skipIf(python === undefined)("Jupyter's conformance suite", () => {
  const data = mkdtempSync(join(tmpdir(), "ionbook-conformance-"));
  afterAll(() => rmSync(data, { recursive: true, force: true }));

  it("finds no fault in the kernel that `ionbook kernel install` wrote", () => {
    const env = { ...process.env, JUPYTER_DATA_DIR: data, HOME: data, PYTHONDONTWRITEBYTECODE: "1" };
    const installed = spawnSync(
      process.execPath,
      [join(ROOT, "toolkit", "bin", "ionbook.js"), "kernel", "install"],
      { env, encoding: "utf8" },
    );
    expect(installed.stderr).toBe("");
    expect(installed.status).toBe(0);
    const suite = join(ROOT, "tests", "end-to-end", "front-end", "suite.py");
    const run = spawnSync(python ?? "", [suite, "-v"], { cwd: ROOT, env, encoding: "utf8", timeout: 28_000 });
    // unittest reports on standard error: "Ran 12 tests in 5.2s", then "OK (skipped=4)".
    const [, ran, verdict] = /Ran (\d+) tests in [\s\S]*?\n(OK|FAILED)/.exec(run.stderr) ?? [];
    expect(verdict, run.stderr).toBe("OK");
    expect(Number(ran)).toBeGreaterThanOrEqual(12);
    expect(run.status).toBe(0);
  }, 30_000);
});

// The runner with a kernel that somebody else wrote: what it knows of the protocol is then not only our own idea of it.
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { type RunOptions, runNotebook } from "../../toolkit/notebook/run/run-notebook.js";
import { notebookText } from "../../toolkit/notebook/write-notebook.js";
import { type TestCell, writeTestNotebook } from "../notebook/notebook-files.js";
import { schemaFaults } from "../notebook/schema.js";

const python = ["/usr/bin/python3", "python3"].find(
  (program) => spawnSync(program, ["-c", "import ipykernel"]).status === 0,
);
const why = python === undefined ? " (skipped: no Python with ipykernel on this machine)" : "";
const kernel = {
  name: "python3",
  spec: {
    argv: [python ?? "", "-m", "ipykernel_launcher", "-f", "{connection_file}"],
    display_name: "Python 3",
    language: "python",
    interrupt_mode: "signal" as const,
  },
};

const folder = mkdtempSync(join(tmpdir(), "peer-"));
afterAll(() => rmSync(folder, { recursive: true }));

function run(cells: readonly TestCell[], options: RunOptions = {}) {
  return runNotebook(writeTestNotebook(folder, "peer.ipynb", cells), { kernel, ...options });
}

describe.skipIf(python === undefined)(`a run with the Python kernel${why}`, () => {
  it("collects what every cell shows, as the schema of nbformat wants it", async () => {
    const cells = ["print(1)\nprint(2)", { markdown: "two" }, "", "1 + 2", "import os\nos.getcwd()"];
    const { document, failure } = await run(cells);
    expect(failure).toBeUndefined();
    expect(schemaFaults(JSON.parse(notebookText(document)))).toEqual([]);
    expect(document.cells[0]).toMatchObject({
      execution_count: 1,
      outputs: [{ output_type: "stream", name: "stdout", text: "1\n2\n" }],
    });
    expect(document.cells[2]).toMatchObject({ execution_count: null, outputs: [] });
    expect(document.cells[3]).toMatchObject({
      execution_count: 2,
      outputs: [{ data: { "text/plain": "3" } }],
    });
    expect(document.cells[4]).toMatchObject({ outputs: [{ data: { "text/plain": `'${folder}'` } }] });
    expect(document.metadata).toMatchObject({
      kernelspec: { name: "python3", display_name: "Python 3", language: "python" },
      language_info: { name: "python" },
    });
  });

  it("stops at the first failing cell, and goes on behind one that should fail", async () => {
    const { document, failure } = await run([{ code: "1/0", tags: ["raises-exception"] }, "2", "1/0", "4"]);
    expect(failure).toMatchObject({ kind: "error", cell: 3, codeCell: 3 });
    expect(failure?.cause).toContain("ZeroDivisionError");
    expect(document.cells.map((cell) => cell.cell_type === "code" && cell.outputs.length)).toEqual([
      1, 1, 1, 0,
    ]);
  });

  it("interrupts a cell that takes too long and keeps what it had shown", async () => {
    const cells = ["print('begun', flush=True)\nimport time\ntime.sleep(60)"];
    const { document, failure } = await run(cells, { cellTimeoutSeconds: 1 });
    expect(failure).toMatchObject({ kind: "timeout", cell: 1 });
    expect(document.cells[0]).toMatchObject({
      outputs: [{ text: "begun\n" }, { ename: "KeyboardInterrupt" }],
    });
  });

  it("ends the kernel of a cell that does not let itself be interrupted", async () => {
    const deaf = "import signal, time\nsignal.signal(signal.SIGINT, signal.SIG_IGN)\ntime.sleep(60)";
    const { failure } = await run([deaf], { cellTimeoutSeconds: 1 });
    expect(failure).toMatchObject({ kind: "timeout", cell: 1 });
  });

  it("tells a dead kernel apart, with how it ended", async () => {
    const { failure } = await run([{ markdown: "one" }, "2", "import os\nos._exit(3)"]);
    expect(failure).toMatchObject({ kind: "kernel died", cell: 3, codeCell: 2 });
    expect(failure?.cause).toContain("exit code 3");
  });
});

describe("a kernel that does not come up", () => {
  const withArgv = (...argv: string[]) => ({ name: "none", spec: { ...kernel.spec, argv } });
  const start = (named: typeof kernel, options: RunOptions = {}) =>
    runNotebook(writeTestNotebook(folder, "none.ipynb", ["1"]), { kernel: named, ...options });

  it("is told with its last words", async () => {
    const named = withArgv(process.execPath, "-e", "console.error('no kernel here'); process.exit(1)");
    await expect(start(named)).rejects.toMatchObject({
      code: "kernel-not-ready",
      message: expect.stringContaining("no kernel here"),
    });
  });

  it("is told where its program is not there", async () => {
    await expect(start(withArgv(join(folder, "no-program")))).rejects.toMatchObject({
      code: "kernel-not-ready",
      message: expect.stringContaining("ENOENT"),
    });
  });

  it("is told when it never answers", async () => {
    const silent = withArgv(process.execPath, "-e", "setInterval(() => {}, 1000)");
    await expect(start(silent, { startTimeoutSeconds: 0.5 })).rejects.toMatchObject({
      code: "kernel-not-ready",
      message: expect.stringContaining("0.5 s"),
    });
  });

  it("and a notebook of another language are not brought together", async () => {
    const typescript = { ...withArgv("none"), spec: { ...kernel.spec, language: "typescript" } };
    const path = writeTestNotebook(folder, "other.ipynb", ["1"]);
    const document = JSON.parse(readFileSync(path, "utf8"));
    document.metadata.kernelspec = { name: "python3", display_name: "Python 3", language: "python" };
    writeFileSync(path, JSON.stringify(document));
    await expect(runNotebook(path, { kernel: typescript })).rejects.toMatchObject({
      code: "other-language",
      where: { file: path },
    });
  });
});

// The notebook commands as a script would call them, each a process of its own, with the kernel of this package.
import { spawn, spawnSync } from "node:child_process";
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { RECORD_TYPE } from "../../toolkit/notebook/record-data.js";
import { writeTestNotebook } from "../notebook/notebook-files.js";
import { schemaFaults } from "../notebook/schema.js";

/** Each of these takes a kernel or two of its own: they run with `npm run score`. */
const inFull = it.runIf(process.env.IONBOOK_SIZE === "full");

const ROOT = fileURLToPath(new URL("../../", import.meta.url));
const BIN = join(ROOT, "toolkit", "bin", "ionbook.js");
const RIVERS = join(ROOT, "datasets", "river-analyses", "usgs-ion-balance-22.csv");
const place = mkdtempSync(join(tmpdir(), "ionbook-notebooks-"));
// Cells find the package as a user's would: installed above the notebook.
symlinkSync(join(ROOT, "node_modules"), join(place, "node_modules"));
afterAll(() => rmSync(place, { recursive: true, force: true }));

function ionbook(...args: readonly string[]) {
  const { NO_COLOR: _, IONBOOK_DEBUG: __, ...env } = process.env;
  const done = spawnSync(process.execPath, [BIN, ...args], { cwd: place, encoding: "utf8", env });
  return { code: done.status, out: done.stdout, err: done.stderr };
}

/** The same without waiting for it: a run that only waits for its end leaves the processor to others. */
function startedIonbook(...args: readonly string[]): Promise<ReturnType<typeof ionbook>> {
  const { NO_COLOR: _, IONBOOK_DEBUG: __, ...env } = process.env;
  const child = spawn(process.execPath, [BIN, ...args], { cwd: place, env });
  return new Promise((resolve, reject) => {
    let out = "";
    let err = "";
    child.stdout.on("data", (part) => (out += part));
    child.stderr.on("data", (part) => (err += part));
    child.once("error", reject);
    child.once("close", (code) => resolve({ code, out, err }));
  });
}

const read = (file: string) => JSON.parse(readFileSync(join(place, file), "utf8"));

/** An investigation with a data file, a record in the middle of a cell and one at the end. */
const CELLS = [
  { markdown: "# Rivers" },
  'import { measured, readPublishedAnalyses, record } from "ionbook";',
  'const count = (await readPublishedAnalyses("rivers.csv")).length;\nrecord("analyses", count);\ncount',
  'record("rise", measured(12.4, "mg/L", { u: 0.25 }))',
];

/** A folder with that notebook, executed in place. */
function investigation(name: string): string {
  mkdirSync(join(place, name));
  copyFileSync(RIVERS, join(place, name, "rivers.csv"));
  writeTestNotebook(join(place, name), "rivers.ipynb", CELLS);
  return join(name, "rivers.ipynb");
}

type Run = ReturnType<typeof ionbook>;

describe("ionbook run", () => {
  let run: Run;
  let original: string;
  beforeAll(() => {
    const path = investigation("run");
    original = readFileSync(join(place, path), "utf8");
    run = ionbook("run", path);
  }, 30_000);

  it("writes the executed notebook and a page, and says where", () => {
    expect(run.err).not.toContain("ionbook:");
    expect(run.code).toBe(0);
    expect(run.out).toContain(join("reports", "rivers", "rivers.ipynb"));
    expect(readdirSync(join(place, "reports", "rivers")).sort()).toEqual(["rivers.html", "rivers.ipynb"]);
  });

  it("tells each cell as it comes", () => {
    expect(run.err).toContain("cell 3: const count");
  });

  it("leaves the original as it was", () => {
    expect(readFileSync(join(place, "run", "rivers.ipynb"), "utf8")).toBe(original);
  });

  it("gives a notebook that is valid by the published schema of nbformat 4.5", () => {
    expect(schemaFaults(read("reports/rivers/rivers.ipynb"))).toEqual([]);
  });

  it("keeps one output with the data of each record", () => {
    const { cells } = read("reports/rivers/rivers.ipynb");
    const records = cells.map(({ outputs = [] }: { outputs?: { data?: object }[] }) =>
      outputs.flatMap(
        ({ data = {} }) => (data as Record<string, { value?: number }>)[RECORD_TYPE]?.value ?? [],
      ),
    );
    expect(records).toEqual([[], [], [22], [12.4]]);
  });

  it("keeps what the results rest on: file, versions, sources", () => {
    const { ionbook: evidence } = read("reports/rivers/rivers.ipynb").metadata;
    expect(evidence.files).toEqual([{ path: "rivers.csv", sha256: expect.stringMatching(/^[0-9a-f]{64}$/) }]);
    expect(evidence.versions).toMatchObject({ ionbook: expect.any(String), node: process.versions.node });
    expect(evidence.folder).toBe("../../run");
  });

  inFull(
    "replaces its own default folder, but in another only when forced",
    () => {
      const again = ["run", join("run", "rivers.ipynb")];
      expect(ionbook(...again, "--out", join("reports", "rivers"))).toMatchObject({
        code: 1,
        err: expect.stringContaining("--force"),
      });
      expect(ionbook(...again).code).toBe(0);
    },
    30_000,
  );

  it("never writes over the original, however it is named", () => {
    const path = join("run", "rivers.ipynb");
    for (const options of [
      ["--out", "run"],
      ["--out", join(place, "run"), "--force"],
    ]) {
      const refused = ionbook("run", path, ...options);
      expect(refused).toMatchObject({ code: 1, err: expect.stringContaining("--in-place") });
    }
    expect(readFileSync(join(place, path), "utf8")).toBe(original);
  });

  inFull("gives a copy that can be verified where it lies", () => {
    const verified = ionbook("verify", join("reports", "rivers", "rivers.ipynb"));
    expect(verified.err).not.toContain("ionbook:");
    expect(verified.out).toContain("2 results hold, 1 data file unchanged");
  });
});

describe("a failing notebook", () => {
  const failing: readonly (readonly [string, readonly string[], string, readonly string[]])[] = [
    ["an error", ["1", 'const a = 1;\nthrow new Error("pump off");', "3"], "error", ["line 2", "pump off"]],
    [
      "a type error",
      ["1", 'const a = 1;\nconst b: number = "x";'],
      "type error",
      ["line 2", 'const b: number = "x"'],
    ],
    ["a dead kernel", ["1", 'process.kill(process.pid, "SIGKILL");'], "kernel died", ["SIGKILL"]],
    ["an endless cell", ["1", "while (true) {}"], "timeout", ["12 s", "--timeout"]],
  ];

  const fileOf = (name: string) => `${name.replaceAll(" ", "-")}.ipynb`;
  const runs = new Map<string, Promise<Run>>();
  // The endless cell is waited for in vain the longest: its run goes on while the others do.
  beforeAll(() => {
    for (const [name, cells] of failing)
      writeTestNotebook(place, fileOf(name), [{ markdown: "# One" }, ...cells]);
    // The first cell waits for the compiler: its time must do for a busy machine.
    runs.set("an endless cell", startedIonbook("run", fileOf("an endless cell"), "--timeout", "12"));
  });

  it.each(failing)(
    "with %s names cell, line, cause and a hint, and writes nothing",
    async (name, _cells, kind, words) => {
      const file = fileOf(name);
      const run = await (runs.get(name) ?? startedIonbook("run", file, "--timeout", "40"));
      expect(run.code).toBe(1);
      expect(run.err).toContain(`${file}, cell 3 (code cell 2)`);
      expect(run.err).toContain(kind);
      for (const word of [...words, "cause: ", "hint: "]) expect(run.err).toContain(word);
      expect(existsSync(join(place, "reports", file.replace(".ipynb", "")))).toBe(false);
    },
    60_000,
  );

  inFull("does not keep the others from running, and is told at the end", () => {
    writeTestNotebook(place, "bad.ipynb", ["throw new Error('no')"]);
    writeTestNotebook(place, "good.ipynb", ["1 + 1"]);
    const run = ionbook("run", "bad.ipynb", "good.ipynb");
    expect(run.code).toBe(1);
    expect(run.err).toContain("1 of 2 notebooks failed");
    expect(existsSync(join(place, "reports", "good", "good.ipynb"))).toBe(true);
  });

  it("that is none of ours is told without a run", () => {
    writeFileSync(join(place, "broken.ipynb"), "{");
    expect(ionbook("run", "broken.ipynb")).toMatchObject({ code: 1, err: expect.stringContaining("JSON") });
    expect(ionbook("verify", "none.ipynb")).toMatchObject({
      code: 1,
      err: expect.stringContaining("none.ipynb"),
    });
    expect(ionbook("run")).toMatchObject({ code: 1, err: expect.stringContaining("at least one") });
  });
});

describe("ionbook verify", () => {
  let path: string;
  let executed: string;
  beforeAll(() => {
    path = investigation("verify");
    const never = ionbook("verify", path);
    expect(never).toMatchObject({ code: 1, err: expect.stringContaining("no run to compare with") });
    const run = ionbook("run", path, "--in-place", "--out", "pages");
    expect(run.err).not.toContain("ionbook:");
    executed = readFileSync(join(place, path), "utf8");
  }, 30_000);

  const data = () => join(place, "verify", "rivers.csv");
  const restore = () => {
    writeFileSync(join(place, path), executed);
    copyFileSync(RIVERS, data());
  };
  const altered = (from: string | RegExp, to: string): Run => {
    restore();
    const text = executed.replace(from, to);
    expect(text).not.toBe(executed);
    writeFileSync(join(place, path), text);
    return ionbook("verify", path);
  };

  it("passes where nothing changed, in one line, and leaves the file as it is", () => {
    restore();
    const verified = ionbook("verify", path);
    expect(verified.code).toBe(0);
    expect(verified.out.trim()).toBe(`${path}: 2 results hold, 1 data file unchanged`);
    expect(readFileSync(join(place, path), "utf8")).toBe(executed);
  });

  it("fails where a digit of a recorded value was changed, with cell, name, both values and the tolerance", () => {
    const { code, err } = altered('"value": 12.4\n', '"value": 12.9\n');
    expect(code).toBe(1);
    expect(err).toMatch(/cell 4, "rise": stored 12\.9 mg\/L, now 12\.4 mg\/L: may differ by 0\.05/);
  });

  inFull("fails where a digit of the shown text was changed", () => {
    const { code, err } = altered(/rise: 12\.4/, "rise: 14.4");
    expect(code).toBe(1);
    expect(err).toMatch(/cell 4, "rise": what is shown \(text\/plain\) is not what is recorded/);
  });

  inFull("fails where a digit of a data file was changed, and names the file", () => {
    restore();
    const text = readFileSync(data(), "utf8");
    writeFileSync(
      data(),
      text.replace(/\d(?=\D*$)/, (digit) => String((Number(digit) + 1) % 10)),
    );
    const { code, err } = ionbook("verify", path);
    expect(code).toBe(1);
    expect(err).toContain("data file rivers.csv: it is not what it was");
  });

  inFull("fails where a data file is missing, and names file and cell", () => {
    restore();
    rmSync(data());
    const { code, err } = ionbook("verify", path);
    expect(code).toBe(1);
    expect(err).toContain("data file rivers.csv: it is not there");
    expect(err).toContain("cell 3");
  });

  inFull("fails where a cell was edited since the run, and names it", () => {
    const { code, err } = altered("# Rivers", "# Lakes");
    expect(code).toBe(1);
    expect(err).toContain("cell 1: edited since the run");
  });
});

describe("ionbook kernel install", () => {
  it("writes the kernelspec into the data folder of notebook programs and says where", () => {
    const jupyter = join(place, "jupyter");
    process.env.JUPYTER_DATA_DIR = jupyter;
    const done = ionbook("kernel", "install");
    delete process.env.JUPYTER_DATA_DIR;
    expect(done.code).toBe(0);
    expect(done.out).toContain(join("jupyter", "kernels", "ionbook"));
    const spec = JSON.parse(readFileSync(join(jupyter, "kernels", "ionbook", "kernel.json"), "utf8"));
    expect(spec.argv).toContain("{connection_file}");
    expect(spec.language).toBe("typescript");
  });

  it("asks for nothing else", () => {
    expect(ionbook("kernel", "fly")).toMatchObject({
      code: 1,
      err: expect.stringContaining("kernel install"),
    });
  });
});

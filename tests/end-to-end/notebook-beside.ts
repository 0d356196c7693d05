import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, expect } from "vitest";
import { type NotebookDocument, textOf } from "../../toolkit/notebook/document.js";
import type { Scenario } from "../../toolkit/simulation/scenario.js";
import { simulateBatch } from "../../toolkit/simulation/simulate-batch.js";
import { writeBatch } from "../../toolkit/simulation/write-batch.js";

const ROOT = fileURLToPath(new URL("../../", import.meta.url));
const place = mkdtempSync(join(tmpdir(), "ionbook-investigation-"));
afterAll(() => rmSync(place, { recursive: true, force: true }));

export interface Recorded {
  readonly name: string;
  readonly value: unknown;
  readonly u?: number;
}

/** What a notebook concluded: the sentence of its answer and what it holds fast. */
export interface Conclusions {
  readonly answer: string;
  readonly records: ReadonlyMap<string, Recorded>;
}

/** As the notebook stands in the package. */
export function storedConclusions(name: string): Conclusions {
  return conclusionsOf(join(ROOT, "notebooks", `${name}.ipynb`));
}

type NotebookCell = NotebookDocument["cells"][number];

/**
 * Runs a notebook of the package beside other data of the same (invented) story; `data` is its folder in datasets/, and
 * only cells that conclude something are run.
 */
export async function concludedFrom(
  name: string,
  data: string,
  scenario: Scenario,
  concludes: (cell: NotebookCell) => boolean,
): Promise<Conclusions> {
  const home = mkdtempSync(join(place, "home-"));
  mkdirSync(join(home, "notebooks"), { recursive: true });
  symlinkSync(join(ROOT, "node_modules"), join(home, "node_modules"));
  writeFileSync(join(home, "notebooks", `${name}.ipynb`), withoutPictures(name, concludes));
  await writeBatch(simulateBatch(scenario, { seed: 1 }), join(home, "datasets", data));
  const out = join(home, "out");
  const run = await ionbook("run", join(home, "notebooks", `${name}.ipynb`), "--out", out);
  expect(run.code, run.text).toBe(0);
  return conclusionsOf(join(out, `${name}.ipynb`));
}

function conclusionsOf(path: string) {
  const document: NotebookDocument = JSON.parse(readFileSync(path, "utf8"));
  return { answer: answerOf(document), records: recordsOf(document) };
}

/** The same notebook without the cells that only show something, and conclude nothing: they take half of the time. */
function withoutPictures(name: string, concludes: (cell: NotebookCell) => boolean): string {
  const document: NotebookDocument = JSON.parse(
    readFileSync(join(ROOT, "notebooks", `${name}.ipynb`), "utf8"),
  );
  const cells = document.cells.filter(concludes);
  expect(document.cells.length - cells.length).toBeGreaterThan(5);
  return JSON.stringify({ ...document, cells });
}

function ionbook(...args: readonly string[]): Promise<{ code: number | null; text: string }> {
  return new Promise((resolve, reject) => {
    let text = "";
    const child = spawn(process.execPath, [join(ROOT, "toolkit", "bin", "ionbook.js"), ...args], {
      cwd: place,
    });
    child.stdout.on("data", (part) => (text += part));
    child.stderr.on("data", (part) => (text += part));
    child.once("error", reject);
    child.once("close", (code) => resolve({ code, text }));
  });
}

const outputsOf = (document: NotebookDocument) =>
  document.cells.flatMap((cell) =>
    cell.cell_type === "code" ? cell.outputs.map((output) => ({ cell, output })) : [],
  );

function answerOf(document: NotebookDocument): string {
  const texts = outputsOf(document).flatMap(({ cell, output }) =>
    (cell.metadata.tags as readonly string[] | undefined)?.includes("answer") && "data" in output
      ? [textOf(output.data["text/plain"] as string)]
      : [],
  );
  return texts.join("\n");
}

function recordsOf(document: NotebookDocument): ReadonlyMap<string, Recorded> {
  const all = outputsOf(document).flatMap(({ output }) => {
    const data = "data" in output ? output.data["application/vnd.ionbook.record+json"] : undefined;
    return data === undefined ? [] : [data as Recorded];
  });
  return new Map(all.map((each) => [each.name, each]));
}

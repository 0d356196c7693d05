import { readdir, stat } from "node:fs/promises";
import { basename, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import type { Results } from "../batch/types.js";
import { writeFolderAtomically } from "../batch/writing/write-folder.js";
import { IonbookError } from "../errors.js";
import { readNotebook } from "../notebook/read-notebook.js";
import { notebookOpening } from "../notebook/report/notebook-opening.js";
import { type IndexEntry, indexPage } from "../show/page/index-page.js";
import { resultSummary } from "../show/page/opening.js";
import { realInputPage } from "../show/page/real-input-page.js";
import { readArguments } from "./arguments.js";
import { progressLine } from "./progress-line.js";
import { evaluateFolders } from "./quantify-command.js";
import { realInput } from "./real-input.js";
import { runCommand } from "./run-command.js";
import { shortestPath } from "./shortest-path.js";
import { summaryOf } from "./summary.js";

/** `ionbook demo [--out DIR]`: runs the investigations and evaluates the data that come with the package, and writes pages to look at. */
export async function demoCommand(args: readonly string[]): Promise<void> {
  const { words, options } = readArguments(args, { out: true });
  if (words.length > 0) {
    throw new IonbookError(
      "unknown-word",
      `demo needs no "${words[0]}": to evaluate a folder of your own, use ionbook quantify`,
    );
  }
  const root = await checkoutRoot();
  const out = String(options.get("out") ?? join(root, "reports"));
  // Relative, because the report names its folders: where somebody keeps a checkout is nobody else's business.
  const datasets = relative(process.cwd(), join(root, "datasets")) || ".";
  const progress = progressLine();
  try {
    const channels = ["anions", "cations"].map((name) => join(datasets, "road-salt-in-wells", name));
    const { results, files } = await evaluateFolders(channels, progress);
    const real = await realInput(datasets);
    const write = (name: string, content: ReadonlyMap<string, string>) =>
      writeFolderAtomically(join(out, name), content, { force: true });
    await write("road-salt-in-wells", files);
    await write("real-input", new Map([["index.html", await realInputPage(real)]]));
    progress.stop();
    const investigations = await investigate(root, out);
    const pages = [...investigations, ...entries(results, real.rivers.analyses.length)];
    await write("", new Map([["index.html", indexPage(pages)]]));
    console.log(
      [
        ...summaryOf(results),
        ...investigations.map(({ title, answer }) => `${title} ${answer}`),
        `Real input: ${real.chromatogram.peaks.length} published areas and ${real.rivers.analyses.length} published river analyses, beside ours`,
        `Open ${shortestPath(join(out, "index.html"))} in a browser.`,
      ].join("\n"),
    );
  } finally {
    progress.stop();
  }
}

/** Runs the investigations that come with the package, each into the folder of its name. */
async function investigate(root: string, out: string): Promise<readonly IndexEntry[]> {
  const folder = join(root, "notebooks");
  const files = inOrder((await readdir(folder)).filter((name) => name.endsWith(".ipynb")));
  const entries: IndexEntry[] = [];
  for (const file of files) {
    const name = basename(file, ".ipynb");
    await runCommand([shortestPath(join(folder, file)), "--out", join(out, name), "--force"], console.error);
    const { title, answer = "", invented } = notebookOpening(await readNotebook(join(out, name, file)));
    const facts = ["investigation", "notebook with code, figures and evidence"];
    entries.push({ title, answer, href: `${name}/${name}.html`, invented, facts });
  }
  return entries;
}

/** The one to read first, then the others by name. */
const FIRST = "road-salt-in-wells.ipynb";

function inOrder(files: readonly string[]): readonly string[] {
  const others = files.filter((file) => file !== FIRST).sort();
  return others.length < files.length ? [FIRST, ...others] : others;
}

function entries(results: Results, rivers: number): readonly IndexEntry[] {
  const samples = new Set(results.samples.map((row) => row.sample)).size;
  return [
    {
      title: results.title,
      answer: resultSummary(results),
      href: "road-salt-in-wells/report.html",
      invented: results.invented,
      facts: [`${samples} samples`, results.batches.map((batch) => `${batch.method.channel}s`).join(" and ")],
    },
    {
      title: "Real input beside published figures",
      answer: `A real chromatogram beside its eight published areas, and ${rivers} river analyses beside their published charge sums.`,
      href: "real-input/index.html",
      invented: false,
    },
  ];
}

/** The root of the checkout: from the source as from the build, wherever the command is called. */
async function checkoutRoot(): Promise<string> {
  for (const up of ["../../", "../../../"]) {
    const root = fileURLToPath(new URL(up, import.meta.url));
    const found = await stat(join(root, "datasets", "road-salt-in-wells")).catch(() => undefined);
    if (found?.isDirectory()) return root;
  }
  throw new IonbookError(
    "missing-folder",
    "the demonstration data are not there: run the demo from a full checkout",
  );
}

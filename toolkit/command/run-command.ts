import { readFile, realpath, stat } from "node:fs/promises";
import { basename, dirname, isAbsolute, join, resolve } from "node:path";
import { writeFolderAtomically } from "../batch/writing/write-folder.js";
import { IonbookError, isIonbookError } from "../errors.js";
import type { NotebookDocument } from "../notebook/document.js";
import { relativePath } from "../notebook/run/run-evidence.js";
import { failureText } from "../notebook/run/run-failure.js";
import { type RunOutcome, runNotebook } from "../notebook/run/run-notebook.js";
import { notebookText, writeNotebook } from "../notebook/write-notebook.js";
import { readArguments } from "./arguments.js";
import { interruptible, notebookWords, timeoutOption } from "./notebook-words.js";
import { progressLine } from "./progress-line.js";
import { shortestPath } from "./shortest-path.js";

/** Where the results of one notebook go. */
interface Target {
  readonly notebook: string;
  readonly folder: string;
  readonly name: string;
  readonly inPlace: boolean;
  readonly replace: boolean;
}

/**
 * `ionbook run NOTEBOOK… [--out DIR] [--in-place] [--timeout SECONDS] [--force]`: runs each, writes those that ran
 * through, and tells at the end which did not. A notebook that fails leaves the files of an earlier run as they are.
 *
 * @param say is told of each notebook that ran through; on standard output unless the caller has an answer of its own there
 */
export async function runCommand(
  args: readonly string[],
  say: (line: string) => void = console.log,
): Promise<void> {
  const known = { out: true, "in-place": false, timeout: true, force: false };
  const { words, options } = readArguments(args, known);
  const notebooks = notebookWords("run", words);
  const limits = timeoutOption(options.get("timeout"));
  const out = options.get("out");
  const targets = notebooks.map((notebook): Target => {
    const name = basename(notebook).replace(/\.ipynb$/, "");
    const folder = typeof out === "string" ? out : join("reports", name);
    // The default folder is this command's own, as the pages of the demo are.
    const replace = options.has("force") || out === undefined;
    return { notebook, folder, name, inPlace: options.has("in-place"), replace };
  });
  refuseSameNames(targets);
  for (const target of targets) await refuseToOverwrite(target, notebooks);
  const failures: string[] = [];
  for (const target of targets) {
    const failure = await interruptible(() => runOne(target, limits, say));
    if (failure !== undefined) failures.push(failure);
  }
  if (failures.length === 0) return;
  const many =
    targets.length > 1 ? `${failures.length} of ${targets.length} notebooks failed` : "the run failed";
  throw new IonbookError("notebook-failed", [`${many}; nothing was written for it`, ...failures].join("\n"));
}

async function runOne(
  target: Target,
  limits: ReturnType<typeof timeoutOption>,
  say: (line: string) => void,
): Promise<string | undefined> {
  const progress = progressLine("cells");
  try {
    const run = await runNotebook(target.notebook, { ...limits, onProgress: progress.update });
    progress.stop();
    if (run.failure !== undefined) return failureText(target.notebook, run.failure);
    const written = await writeRun(target, run);
    const cells = run.document.cells.length;
    say(`${target.notebook}: ${cells} cells in ${run.evidence.seconds} s; written: ${written.join(", ")}`);
    return undefined;
  } catch (error) {
    // One notebook that cannot be read or written leaves the others to be run.
    if (isIonbookError(error)) return error.message;
    throw error;
  } finally {
    progress.stop();
  }
}

async function writeRun(target: Target, run: RunOutcome): Promise<readonly string[]> {
  const { notebook, folder, name, inPlace, replace } = target;
  const { notebookPage } = await import("../notebook/report/notebook-page.js");
  const page = await notebookPage(run.document, {
    fileName: isAbsolute(notebook) ? basename(notebook) : notebook,
    evidence: run.evidence,
    readImage: (path) => readFile(join(dirname(notebook), path)).catch(() => undefined),
  });
  const files = new Map([[`${name}.html`, page]]);
  if (!inPlace) files.set(`${name}.ipynb`, notebookText(copyFor(folder, run)));
  await writeFolderAtomically(folder, files, { force: replace });
  if (inPlace) await writeNotebook(notebook, run.document, { replace: true });
  const written = [...files.keys()].map((file) => shortestPath(join(folder, file)));
  return inPlace ? [notebook, ...written] : written.reverse();
}

/** The executed notebook as a copy elsewhere: it says where its cells ran, so that it can be verified there. */
function copyFor(folder: string, run: RunOutcome): NotebookDocument {
  const ranIn = relativePath(resolve(folder), dirname(resolve(run.path)));
  if (ranIn === "") return run.document;
  const ionbook = { ...run.evidence, folder: ranIn };
  return { ...run.document, metadata: { ...run.document.metadata, ionbook } };
}

function refuseSameNames(targets: readonly Target[]): void {
  const places = targets.map(({ folder, name }) => join(folder, name));
  const twice = targets.find((_, i) => places.indexOf(places[i]) !== i);
  if (twice === undefined) return;
  const why = `two notebooks are called ${twice.name}: run them one by one, each with its own --out`;
  throw new IonbookError("same-name", why, { file: twice.notebook });
}

/** Before anything runs: no original may be written over, and no other file unless asked for. */
async function refuseToOverwrite(target: Target, notebooks: readonly string[]): Promise<void> {
  const { folder, name, inPlace, replace } = target;
  const originals = await Promise.all(notebooks.map(realPath));
  const copy = join(folder, `${name}.ipynb`);
  if (!inPlace && originals.includes(await realPath(copy))) {
    const why = `${shortestPath(copy)} is a notebook to be run: name another --out, or ask for it with --in-place`;
    throw new IonbookError("would-overwrite", why);
  }
  if (replace) return;
  for (const file of inPlace ? [`${name}.html`] : [`${name}.ipynb`, `${name}.html`]) {
    if (!(await stat(join(folder, file)).catch(() => undefined))) continue;
    const why = `${file} is there already: name another folder, or ask to overwrite (--force)`;
    throw new IonbookError("would-overwrite", why, { file: folder });
  }
}

/** The file behind a path, through links; the path itself where nothing is. */
function realPath(path: string): Promise<string> {
  return realpath(path).catch(() => resolve(path));
}

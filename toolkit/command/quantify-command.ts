import { join } from "node:path";
import { quantify } from "../batch/quantify/quantify.js";
import { openBatch } from "../batch/reading/open-batch.js";
import type { Batch } from "../batch/types.js";
import { resultTables } from "../batch/writing/result-tables.js";
import { requireRoom, writeFolderAtomically } from "../batch/writing/write-folder.js";
import { IonbookError } from "../errors.js";
import { readArguments } from "./arguments.js";
import type { ProgressLine } from "./progress-line.js";
import { progressLine } from "./progress-line.js";
import { summaryOf } from "./summary.js";

/** What every evaluation writes. */
const RESULT_FILES = ["results.csv", "peaks.csv", "calibration.csv", "checks.csv", "report.html"];

/** `ionbook quantify FOLDER … --out DIR [--force]`: evaluates, writes, and says what came out. */
export async function quantifyCommand(args: readonly string[]): Promise<void> {
  const { words, options } = readArguments(args, { out: true, force: false });
  const out = options.get("out");
  if (words.length === 0) {
    throw new IonbookError(
      "missing-folder",
      "name at least one batch folder: ionbook quantify FOLDER --out DIR",
    );
  }
  if (typeof out !== "string") {
    throw new IonbookError(
      "missing-out",
      `say where the results go: ionbook quantify ${words.join(" ")} --out DIR`,
    );
  }
  // Before the evaluation, which takes a while: nobody should wait for a refusal.
  await requireRoom(out, RESULT_FILES, { force: options.has("force") });
  const progress = progressLine();
  try {
    const { results, files } = await evaluateFolders(words, progress);
    await writeFolderAtomically(out, files, { force: options.has("force") });
    progress.stop();
    const lines = [...summaryOf(results), `Written to ${out}: ${[...files.keys()].join(", ")}`];
    console.log([...lines, `Open ${join(out, "report.html")} in a browser.`].join("\n"));
  } finally {
    progress.stop();
  }
}

/** The results of the folders of one investigation, and the files that tell them. */
export async function evaluateFolders(folders: readonly string[], progress: ProgressLine) {
  const batches: Batch[] = [];
  for (const folder of folders) batches.push(await openBatch(folder));
  const results = await quantify(batches, { onProgress: progress.update });
  const files = new Map(Object.entries(resultTables(results)));
  const { reportPage } = await import("../show/page/report-page.js");
  files.set("report.html", await reportPage(results));
  return { results, files };
}

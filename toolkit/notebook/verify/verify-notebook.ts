import { stat } from "node:fs/promises";
import { dirname, resolve } from "node:path";
import type { NotebookDocument, RunEvidence } from "../document.js";
import { readNotebook } from "../read-notebook.js";
import { failureText } from "../run/run-failure.js";
import { type RunOptions, type RunOutcome, runNotebook } from "../run/run-notebook.js";
import { changedFiles, otherFiles, staleness, storedEvidence } from "./compare-evidence.js";
import { compareRecords } from "./compare-records.js";
import type { Difference } from "./difference.js";
import { recordsIn } from "./stored-records.js";

/** What a verification found. */
export interface VerifyOutcome {
  readonly kind: "notebook-verification";
  readonly path: string;
  /** True where nothing differs. */
  readonly holds: boolean;
  /** Number of recorded results that the file holds. */
  readonly results: number;
  /** Number of data files that the file names. */
  readonly files: number;
  readonly differences: readonly Difference[];
  /** One line where all is well, else one more for each difference. */
  toString(): string;
}

/**
 * Runs a notebook again and compares with what the file holds: every recorded result within its tolerance, the data
 * files by their SHA-256, the sources with those that were run, and what is shown with what is recorded. The file is
 * not written. A notebook that was never run by `ionbook run` holds nothing to compare with and does not pass.
 *
 * @throws IonbookError as `runNotebook`
 */
export async function verifyNotebook(
  path: string,
  options: Omit<RunOptions, "folder"> = {},
): Promise<VerifyOutcome> {
  const document = await readNotebook(path);
  const evidence = storedEvidence(document);
  const { records, unreadable } = recordsIn(document);
  const outcome = (differences: readonly Difference[]): VerifyOutcome =>
    verification(path, records.length, evidence?.files.length ?? 0, differences);
  if (evidence === undefined) {
    const message = "the file holds no run to compare with: run it with ionbook run --in-place";
    return outcome([{ kind: "stale", message }]);
  }
  const folder = await folderOfRun(path, evidence);
  const before = [
    ...staleness(document, evidence),
    ...(await changedFiles(evidence, folder)),
    ...contradictions(document),
    ...unreadable.map((cell): Difference => {
      const message = `cell ${cell}: its recorded data cannot be read; run the notebook again`;
      return { kind: "contradiction", cell, message };
    }),
  ];
  const run = await runNotebook(path, { ...options, folder });
  return outcome([...before, ...differencesOfRun(document, evidence, run)]);
}

function differencesOfRun(
  document: NotebookDocument,
  evidence: RunEvidence,
  { document: now, evidence: fresh, failure, path }: RunOutcome,
): readonly Difference[] {
  const compared = compareRecords(recordsIn(document).records, recordsIn(now).records);
  if (failure === undefined) return [...compared, ...otherFiles(evidence, fresh)];
  // Behind a failing cell nothing was produced: only what came before it can be compared.
  const reached = compared.filter(({ cell = 0 }) => cell < failure.cell);
  return [...reached, { kind: "failed", cell: failure.cell, message: failureText(path, failure) }];
}

function contradictions(document: NotebookDocument): readonly Difference[] {
  return recordsIn(document)
    .records.filter(({ contradicting }) => contradicting.length > 0)
    .map(({ cell, data: { name }, contradicting }) => {
      const message = `cell ${cell}, "${name}": what is shown (${contradicting.join(", ")}) is not what is recorded`;
      return { kind: "contradiction", cell, name, message };
    });
}

/** A copy that was written elsewhere names the folder of its run, while that is there. */
async function folderOfRun(path: string, evidence: RunEvidence): Promise<string> {
  const own = dirname(resolve(path));
  if (typeof evidence.folder !== "string") return own;
  const named = resolve(own, evidence.folder);
  const found = await stat(named).catch(() => undefined);
  return found?.isDirectory() ? named : own;
}

function verification(
  path: string,
  results: number,
  files: number,
  differences: readonly Difference[],
): VerifyOutcome {
  const holds = differences.length === 0;
  const head = holds
    ? `${path}: ${counted(results, "result")} ${results === 1 ? "holds" : "hold"}, ${counted(files, "data file")} unchanged`
    : `${path}: does not hold, ${counted(differences.length, "difference")}`;
  const lines = differences.map(({ message }) => `  ${message.replaceAll("\n", "\n  ")}`);
  const text = [head, ...lines].join("\n");
  return { kind: "notebook-verification", path, holds, results, files, differences, toString: () => text };
}

function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? "" : "s"}`;
}

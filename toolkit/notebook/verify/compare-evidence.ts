import { resolve } from "node:path";
import { type NotebookDocument, type RunEvidence, textOf } from "../document.js";
import { hashFile } from "../run/hash-file.js";
import { hashesOfCells, hashOfSources } from "../run/source-hashes.js";
import type { Difference } from "./difference.js";

/** What a run left in a notebook's metadata; undefined where nothing is, or nothing of this form. */
export function storedEvidence(document: NotebookDocument): RunEvidence | undefined {
  const found = document.metadata.ionbook;
  if (typeof found !== "object" || found === null) return undefined;
  const { files, sources } = found as Partial<RunEvidence>;
  if (typeof sources !== "string" || !Array.isArray(files)) return undefined;
  const whole = files.every((file) => typeof file?.path === "string" && typeof file?.sha256 === "string");
  return whole ? (found as RunEvidence) : undefined;
}

/** Whether the outputs belong to the sources: what was edited since the run, and what was never run. */
export function staleness(document: NotebookDocument, evidence: RunEvidence): readonly Difference[] {
  const found: Difference[] = [];
  document.cells.forEach((cell, index) => {
    if (cell.cell_type !== "code" || textOf(cell.source).trim() === "") return;
    if (cell.execution_count !== null || cell.outputs.length > 0) return;
    const message = `cell ${index + 1}: the file holds no run of it; run the notebook again`;
    found.push({ kind: "stale", cell: index + 1, message });
  });
  if (hashOfSources(document) === evidence.sources) return found;
  const edited = editedCells(document, evidence);
  if (edited.length === 0) {
    const message = "cells were removed or moved since the run; run the notebook again";
    return [...found, { kind: "stale", message }];
  }
  const message = (cell: number): string => `cell ${cell}: edited since the run; run the notebook again`;
  return [...found, ...edited.map((cell): Difference => ({ kind: "stale", cell, message: message(cell) }))];
}

function editedCells(document: NotebookDocument, { cells = {} }: RunEvidence): readonly number[] {
  const now = hashesOfCells(document);
  return document.cells.flatMap(({ id }, index) => (now[id] === cells[id] ? [] : [index + 1]));
}

/** The stored data files that are gone or hold something else now. */
export async function changedFiles(evidence: RunEvidence, folder: string): Promise<readonly Difference[]> {
  const found: Difference[] = [];
  for (const { path: file, sha256 } of evidence.files) {
    const now = await hashFile(resolve(folder, file));
    if (now === undefined) {
      const message = `data file ${file}: it is not there; bring it back, or run the notebook again`;
      found.push({ kind: "data missing", file, message });
    } else if (now !== sha256) {
      const message = `data file ${file}: it is not what it was at the run (SHA-256 ${sha256.slice(0, 8)}…, now ${now.slice(0, 8)}…)`;
      found.push({ kind: "data changed", file, message });
    }
  }
  return found;
}

/** Data files that only one of two runs read. */
export function otherFiles(stored: RunEvidence, now: RunEvidence): readonly Difference[] {
  const [before, after] = [stored, now].map(({ files }) => new Set(files.map(({ path }) => path)));
  const added = now.files.filter(({ path }) => !before.has(path));
  const dropped = stored.files.filter(({ path }) => !after.has(path));
  return [
    ...added.map(({ path: file }): Difference => {
      return { kind: "data new", file, message: `data file ${file}: read now, but not at the run` };
    }),
    ...dropped.map(({ path: file }): Difference => {
      return { kind: "data missing", file, message: `data file ${file}: read at the run, but not now` };
    }),
  ];
}

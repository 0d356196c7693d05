import { readFile } from "node:fs/promises";
import * as v from "valibot";
import { IonbookError } from "../errors.js";

/** A code cell; `number` counts all cells of the notebook from 1, text cells too. */
export interface CodeCell {
  readonly number: number;
  readonly source: string;
}

export interface Notebook {
  readonly path: string;
  readonly codeCells: readonly CodeCell[];
}

const TEXT = v.union([v.string(), v.array(v.string())]);
const CELL = {
  id: v.pipe(v.string(), v.regex(/^[a-zA-Z0-9_-]{1,64}$/)),
  metadata: v.looseObject({}),
  source: TEXT,
};
const CELLS = v.variant("cell_type", [
  v.looseObject({
    ...CELL,
    cell_type: v.literal("code"),
    execution_count: v.nullable(v.pipe(v.number(), v.integer(), v.minValue(0))),
    outputs: v.array(v.looseObject({ output_type: v.string() })),
  }),
  v.looseObject({ ...CELL, cell_type: v.literal("markdown") }),
  v.looseObject({ ...CELL, cell_type: v.literal("raw") }),
]);
const NOTEBOOK = v.looseObject({
  nbformat: v.literal(4),
  nbformat_minor: v.literal(5),
  metadata: v.looseObject({}),
  cells: v.array(CELLS),
});

/**
 * Returns the code cells of a notebook file, with their numbers, after checking its structure.
 *
 * @param path Notebook in the nbformat 4.5 layout.
 * @throws IonbookError "unreadable-notebook" (no such file), "notebook-not-json", "invalid-notebook" (with the cell).
 * @source Jupyter's description of the notebook format, version 4.5 (from memory).
 */
export async function readNotebook(path: string): Promise<Notebook> {
  const checked = v.safeParse(NOTEBOOK, parseJson(await readText(path), path));
  if (!checked.success) throw faultOf(checked.issues[0], path);
  const codeCells: CodeCell[] = [];
  checked.output.cells.forEach(({ cell_type, source }, index) => {
    if (cell_type !== "code") return;
    codeCells.push({ number: index + 1, source: typeof source === "string" ? source : source.join("") });
  });
  return { path, codeCells };
}

async function readText(path: string): Promise<string> {
  try {
    return await readFile(path, "utf8");
  } catch (cause) {
    const why = `The notebook cannot be read: ${(cause as Error).message}. Give the path of an .ipynb file.`;
    throw new IonbookError("unreadable-notebook", why, { file: path });
  }
}

function parseJson(text: string, path: string): unknown {
  try {
    return JSON.parse(text);
  } catch (cause) {
    const why = `The notebook is no valid JSON: ${(cause as Error).message}. Take the last saved copy of it.`;
    throw new IonbookError("notebook-not-json", why, { file: path });
  }
}

function faultOf(issue: v.BaseIssue<unknown>, path: string): IonbookError {
  const keys = issue.path?.map((item) => item.key) ?? [];
  const cell = keys[0] === "cells" && typeof keys[1] === "number" ? { cell: keys[1] + 1 } : {};
  const what = keys.length > 0 ? `"${keys.join(".")}"` : "the file";
  const why = `The notebook is not in the format 4.5, at ${what}: ${issue.message}. Open it and save it again.`;
  return new IonbookError("invalid-notebook", why, { file: path, ...cell });
}

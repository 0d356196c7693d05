import { readFile } from "node:fs/promises";
import { IonbookError } from "../errors.js";
import type { CellDocument, NotebookDocument } from "./document.js";
import type { CheckedNotebook } from "./notebook-schema.js";

/**
 * Returns the notebook in a file, after checking its structure. An older minor version of format 4 comes back as
 * 4.5, its cells with ids ("cell-1", "cell-2", …, the same at every reading); the file itself stays as it is.
 *
 * @param path Notebook in the nbformat 4 layout, up to 4.5.
 * @throws IonbookError "unreadable-notebook" (no such file), "notebook-not-json", "invalid-notebook" (with the cell).
 * @source Jupyter's description of the notebook format, version 4.5, and its JSON schema (copy in tests/reference).
 */
export async function readNotebook(path: string): Promise<NotebookDocument> {
  const parsed = parseJson(await readText(path), path);
  const { checkNotebook } = await import("./notebook-schema.js");
  const checked = checkNotebook(parsed);
  if ("fault" in checked) throw faultOf(checked.faultAt as readonly unknown[], String(checked.fault), path);
  return { ...checked, nbformat: 4, nbformat_minor: 5, cells: cellsWithIds(checked, path) };
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
    return JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch (cause) {
    const why = `The notebook is no valid JSON: ${(cause as Error).message}. Take the last saved copy of it.`;
    throw new IonbookError("notebook-not-json", why, { file: path });
  }
}

/** In 4.5 a cell without an id, and two with the same one, are faults; before, every cell gets a fresh one. */
function cellsWithIds(notebook: CheckedNotebook, path: string): readonly CellDocument[] {
  const seen = new Set<string>();
  return notebook.cells.map((cell, index) => {
    const id = notebook.nbformat_minor < 5 ? `cell-${index + 1}` : cell.id;
    if (id === undefined) throw faultOf(["cells", index, "id"], "the cell has no id", path);
    if (seen.has(id)) throw faultOf(["cells", index, "id"], `"${id}" is the id of an earlier cell too`, path);
    seen.add(id);
    return { ...cell, id } as CellDocument;
  });
}

function faultOf(keys: readonly unknown[], what: string, path: string): IonbookError {
  const cell = keys[0] === "cells" && typeof keys[1] === "number" ? { cell: keys[1] + 1 } : {};
  const at = keys.length > 0 ? `"${keys.join(".")}"` : "the file";
  const why = `The notebook is not in the format 4.5, at ${at}: ${what}. Open it and save it again.`;
  return new IonbookError("invalid-notebook", why, { file: path, ...cell });
}

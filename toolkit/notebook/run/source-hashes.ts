import { createHash } from "node:crypto";
import { type CellDocument, type NotebookDocument, textOf } from "../document.js";

/** Enough of a hash to tell an edited cell; the whole notebook's hash is kept in full. */
const SHORT = 12;

/** SHA-256 of all cells' sources and kinds in their order, hexadecimal. */
export function hashOfSources(document: NotebookDocument): string {
  return hash(JSON.stringify(document.cells.map(sourceOf)));
}

/** Shortened SHA-256 of each cell's source by the cell's id. */
export function hashesOfCells(document: NotebookDocument): Readonly<Record<string, string>> {
  const entries = document.cells.map((cell) => [
    cell.id,
    hash(JSON.stringify(sourceOf(cell))).slice(0, SHORT),
  ]);
  return Object.fromEntries(entries);
}

function sourceOf(cell: CellDocument): readonly [kind: string, source: string] {
  return [cell.cell_type, textOf(cell.source)];
}

function hash(text: string): string {
  return createHash("sha256").update(text).digest("hex");
}

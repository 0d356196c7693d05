import { writeFileSync } from "node:fs";
import { join } from "node:path";

/** A code cell's source, or markdown, or a code cell with tags. */
export type TestCell =
  | string
  | { readonly markdown: string }
  | { readonly code: string; readonly tags: readonly string[] };

/** Writes a notebook that was never run and returns its path. Its cells have the ids c1, c2, … */
export function writeTestNotebook(folder: string, name: string, cells: readonly TestCell[]): string {
  const path = join(folder, name);
  const document = { nbformat: 4, nbformat_minor: 5, metadata: {}, cells: cells.map(cellOf) };
  writeFileSync(path, JSON.stringify(document));
  return path;
}

function cellOf(cell: TestCell, index: number): object {
  const id = `c${index + 1}`;
  if (typeof cell === "object" && "markdown" in cell) {
    return { cell_type: "markdown", id, metadata: {}, source: cell.markdown };
  }
  const [source, metadata] = typeof cell === "string" ? [cell, {}] : [cell.code, { tags: cell.tags }];
  return { cell_type: "code", id, metadata, execution_count: null, outputs: [], source };
}

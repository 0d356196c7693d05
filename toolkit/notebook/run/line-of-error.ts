import { stripVTControlCharacters } from "node:util";
import type { CellPlace } from "./cell-place.js";

/**
 * Line of the cell's source to which an error's traceback points, from 1; undefined where it names none. The
 * innermost place inside the cell counts: what stands below it is the library's affair.
 */
export function lineOfError(
  traceback: readonly string[],
  place: Pick<CellPlace, "codeCell" | "source">,
): number | undefined {
  const text = stripVTControlCharacters(traceback.join("\n"));
  for (const [, cell, line] of text.matchAll(/^\s*In\[(\d+)\], line (\d+)/gm)) {
    const count = Number(line);
    if (Number(cell) === place.codeCell && count <= place.source.split("\n").length) return count;
  }
  return undefined;
}

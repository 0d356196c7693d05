import { originalPositionFor, TraceMap } from "@jridgewell/trace-mapping";

/** A place in a cell, line and column counted from 1. */
export interface CellPlace {
  readonly line: number;
  readonly column: number;
}

/** The converter puts one line in front of every cell. */
const PREFIX_LINES = 1;

/**
 * Returns the way back from emitted code to the cell.
 *
 * @param maps source maps in the order of going back
 */
export function cellMap(maps: readonly string[]): (line: number, column: number) => CellPlace | undefined {
  let chain: readonly TraceMap[] | undefined;
  return (line, column) => {
    chain ??= maps.map((map) => new TraceMap(map));
    let place = { line, column: column - 1 };
    for (const map of chain) {
      const found = originalPositionFor(map, place);
      if (found.line === null) return undefined;
      place = { line: found.line, column: found.column };
    }
    return { line: place.line - PREFIX_LINES, column: place.column + 1 };
  };
}

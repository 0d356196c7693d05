import { type NotebookDocument, type Output, textOf } from "../document.js";
import { RECORD_TYPE, type RecordData, recordBundle } from "../record-data.js";

/** A recorded result as it stands in the outputs of a notebook. */
export interface FoundRecord {
  /** Number of the cell, counted over all cells from 1. */
  readonly cell: number;
  readonly cellId: string;
  /** The first, second, … record of this name in its cell. */
  readonly turn: number;
  readonly data: RecordData;
  /** MIME types whose shown text is not what the data say. */
  readonly contradicting: readonly string[];
}

/** All recorded results in a notebook's outputs, in their order, and the cells whose record cannot be read. */
export function recordsIn(document: NotebookDocument): {
  readonly records: readonly FoundRecord[];
  readonly unreadable: readonly number[];
} {
  const records: FoundRecord[] = [];
  const unreadable: number[] = [];
  document.cells.forEach((cell, index) => {
    if (cell.cell_type !== "code") return;
    const turns = new Map<string, number>();
    for (const output of cell.outputs) {
      if (!("data" in output) || !(RECORD_TYPE in output.data)) continue;
      const data = output.data[RECORD_TYPE];
      if (!isRecordData(data)) {
        unreadable.push(index + 1);
        continue;
      }
      const turn = (turns.get(data.name) ?? 0) + 1;
      turns.set(data.name, turn);
      records.push({
        cell: index + 1,
        cellId: cell.id,
        turn,
        data,
        contradicting: contradicting(output, data),
      });
    }
  });
  return { records, unreadable };
}

/** What is shown follows from the data alone, so a text that differs was changed by hand. */
function contradicting(output: Extract<Output, { data: unknown }>, data: RecordData): readonly string[] {
  const meant = recordBundle(data);
  return ["text/plain", "text/html"].filter((type) => {
    const shown = output.data[type];
    if (shown === undefined) return false;
    return textOf(shown as string | readonly string[]) !== meant[type];
  });
}

function isRecordData(found: unknown): found is RecordData {
  if (typeof found !== "object" || found === null) return false;
  const { name, value, u, unit, tolerance } = found as Readonly<Record<string, unknown>>;
  return (
    typeof name === "string" &&
    ["number", "string", "boolean"].includes(typeof value) &&
    (u === null || typeof u === "number") &&
    (unit === null || typeof unit === "string") &&
    typeof tolerance === "number" &&
    tolerance >= 0
  );
}

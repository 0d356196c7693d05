import { readFile } from "node:fs/promises";
import { parse } from "csv-parse/sync";
import { IonbookError } from "../../errors.js";
import { noteFileRead } from "../../evidence.js";
import type { WaterDescription } from "./water-description.js";

/** One row of a table, by column, as printed. */
export interface PrintedRow {
  readonly cells: Readonly<Record<string, string>>;
  /** Line of the file, counted from 1. */
  readonly line: number;
}

/** A described table, its cells still as printed. */
export interface PrintedTable {
  readonly file: string;
  readonly header: readonly string[];
  /** Unit of each column as the table states it, where it does. */
  readonly units: Readonly<Record<string, string>>;
  readonly rows: readonly PrintedRow[];
}

/**
 * The rows of a published table, checked against its description.
 *
 * @throws IonbookError "file-not-found", "bad-table", "missing-column", with file and line
 */
export async function readPrintedTable(file: string, description: WaterDescription): Promise<PrintedTable> {
  const records = recordsOf(await textOf(file), file);
  noteFileRead(file);
  const [header, ...rest] = records;
  if (header === undefined) throw new IonbookError("bad-table", "the table is empty", { file });
  requireColumns(header.cells, description, file);
  const named = rest.map(({ cells, line }): PrintedRow => {
    return { line, cells: Object.fromEntries(header.cells.map((name, i) => [name, cells[i].trim()])) };
  });
  const units = description.unitsRow ? (named.shift()?.cells ?? {}) : {};
  if (named.length === 0) {
    throw new IonbookError("bad-table", "the table has no rows below its header", { file });
  }
  return { file, header: header.cells, units, rows: named };
}

interface Printed {
  readonly cells: readonly string[];
  readonly line: number;
}

async function textOf(file: string): Promise<string> {
  try {
    return await readFile(file, "utf8");
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new IonbookError("file-not-found", `the table cannot be read: ${reason}`, { file });
  }
}

function recordsOf(text: string, file: string): readonly Printed[] {
  try {
    const parsed = parse(text, { bom: true, info: true, skip_empty_lines: true }) as unknown as readonly {
      readonly record: readonly string[];
      readonly info: { readonly lines: number };
    }[];
    return parsed.map(({ record, info }) => ({ cells: record, line: info.lines }));
  } catch (error) {
    const lines = Reflect.get(Object(error), "lines");
    const where = typeof lines === "number" ? { file, line: lines } : { file };
    throw new IonbookError("bad-table", error instanceof Error ? error.message : String(error), where);
  }
}

function requireColumns(header: readonly string[], description: WaterDescription, file: string): void {
  for (const { name, flag } of description.columns) {
    for (const wanted of flag === undefined ? [name] : [name, flag]) {
      if (header.includes(wanted)) continue;
      throw new IonbookError("missing-column", `the table has no column "${wanted}", which is described`, {
        file,
        line: 1,
        column: wanted,
      });
    }
  }
}

import { IonbookError } from "../../errors.js";
import { nearestNames } from "../../ions/nearest-names.js";
import { decodeText } from "./decode-text.js";
import { Faults } from "./faults.js";
import { TableRow } from "./table-row.js";

/** The columns a table is known to have. */
export interface TableColumns {
  readonly required: readonly string[];
  readonly optional: readonly string[];
}

/** A CSV file taken apart: rows with as many cells as the header, and the faults found so far. */
export interface Table {
  readonly file: string;
  readonly rows: readonly TableRow[];
  /** To be thrown once everything in the file has been looked at. */
  readonly faults: Faults;
  readonly remarks: readonly string[];
}

type Separator = "," | ";" | "\t";

interface CsvRecord {
  readonly cells: readonly string[];
  readonly line: number;
}

/**
 * Reads a table: UTF-8 with or without byte order mark, comma-separated, or separated by semicolons or tabs
 * with decimal comma or point; header row required, columns in any order, unknown ones kept; rows of blank
 * cells are passed over.
 *
 * @throws IonbookError `empty-file`, `missing-column`, `doubled-column`, `malformed-row` where quotes are
 * unbalanced; a row of the wrong length becomes a fault of the table (`malformed-row`, `decimal-comma`)
 */
export async function readTable(bytes: Uint8Array, file: string, columns: TableColumns): Promise<Table> {
  const { text, remark } = decodeText(bytes, file);
  const separator = separatorOf(text);
  const [header, ...records] = await recordsOf(text, separator, file);
  if (header === undefined) {
    throw new IonbookError("empty-file", `the file is blank: it needs a header row ${example(columns)}`, {
      file,
    });
  }
  const titles = matchTitles(header, columns, file);
  const faults = new Faults(file);
  const knownColumns = [...columns.required, ...columns.optional];
  const context = { titles, knownColumns, decimalComma: separator !== ",", faults };
  const rows: TableRow[] = [];
  for (const record of records) {
    if (record.cells.length === titles.length) {
      rows.push(new TableRow(record.cells, record.line, context));
    } else addLengthFault(faults, record, titles, separator);
  }
  return {
    file,
    rows,
    faults,
    remarks: [...(remark === undefined ? [] : [remark]), ...strangers(titles, columns)],
  };
}

/** The separator of the header line, outside quotes. */
function separatorOf(text: string): Separator {
  const header = (/^.*\S.*$/m.exec(text)?.[0] ?? "").replace(/"[^"]*"/g, "");
  const count = (separator: string): number => header.split(separator).length;
  if (count(";") > count(",")) return ";";
  return count("\t") > count(",") ? "\t" : ",";
}

async function recordsOf(text: string, separator: Separator, file: string): Promise<CsvRecord[]> {
  const { parse } = await import("csv-parse/sync");
  try {
    const parsed = parse(text, {
      delimiter: separator,
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
    }) as unknown as { record: string[]; info: { lines: number } }[];
    return parsed
      .filter(({ record }) => record.some((cell) => cell.trim() !== ""))
      .map(({ record, info }) => ({ cells: record, line: info.lines - lineEndsIn(record) }));
  } catch (error) {
    const line = (error as { lines?: number }).lines;
    throw new IonbookError(
      "malformed-row",
      'a quotation mark has no partner: put the whole cell in quotes and double the quotes inside it ("5"" pipe")',
      { file, ...(line === undefined ? {} : { line }) },
    );
  }
}

/** Line ends inside quoted cells: the record began so many lines before it ended. */
function lineEndsIn(cells: readonly string[]): number {
  return cells.reduce((sum, cell) => sum + (cell.match(/\r\n|\n|\r/g)?.length ?? 0), 0);
}

/** The header's titles, known ones in their own spelling; refuses a header that lacks or doubles a column. */
function matchTitles(header: CsvRecord, columns: TableColumns, file: string): string[] {
  const known = [...columns.required, ...columns.optional];
  const titles = header.cells.map((cell) => {
    const title = cell.replace(/^\uFEFF/, "").trim();
    const plain = plainTitle(title);
    return known.find((name) => plainTitle(name) === plain) ?? title;
  });
  const doubled = titles.find((title, i) => title !== "" && titles.indexOf(title) !== i);
  if (doubled !== undefined) {
    throw new IonbookError("doubled-column", "the column occurs twice: rename or remove one", {
      file,
      line: header.line,
      column: doubled,
    });
  }
  const missing = columns.required.filter((name) => !titles.includes(name));
  if (missing.length > 0) throw missingColumns(missing, titles, known, file, header.line);
  return titles;
}

function plainTitle(title: string): string {
  return title.toLowerCase().replace(/[µμ]/g, "u");
}

function missingColumns(
  missing: readonly string[],
  titles: readonly string[],
  known: readonly string[],
  file: string,
  line: number,
): IonbookError {
  const strange = titles.filter((title) => !known.includes(title));
  const hints = missing.map((name) => {
    const [near] = nearestNames(name, strange, 1);
    return near === undefined ? `"${name}"` : `"${name}" (is "${near}" meant?)`;
  });
  return new IonbookError(
    "missing-column",
    `the header lacks ${hints.join(", ")}: the first row must name the columns ${known.join(",")}`,
    { file, line, column: missing[0] },
  );
}

function addLengthFault(
  faults: Faults,
  record: CsvRecord,
  titles: readonly string[],
  separator: Separator,
): void {
  const { cells, line } = record;
  const counts = `the row has ${cells.length} cells where the header has ${titles.length}`;
  const cut = separator === "," ? cutNumber(cells, titles.length) : undefined;
  if (cut !== undefined) {
    const number = `${cells[cut]},${cells[cut + 1]}`;
    faults.add(
      "decimal-comma",
      `${counts}: "${number}" looks like a decimal comma in a comma-separated file; write ` +
        `${number.replace(",", ".")}, or save the table with semicolons`,
      line,
      titles[cut],
    );
  } else if (cells.length < titles.length) {
    faults.add("malformed-row", `${counts}: complete it, or copy the file again if it broke off here`, line);
  } else {
    faults.add("malformed-row", `${counts}: put a cell that contains a separator in quotes`, line);
  }
}

/** Index of the first cell of a too long row that, joined to the next, makes a number with a decimal comma. */
function cutNumber(cells: readonly string[], width: number): number | undefined {
  if (cells.length <= width) return undefined;
  const at = cells.findIndex((cell, i) => /^\s*[+-]?\d+$/.test(cell) && /^\d+\s*$/.test(cells[i + 1] ?? ""));
  return at < 0 ? undefined : at;
}

/** Unknown columns that are probably misspelt known ones. */
function strangers(titles: readonly string[], columns: TableColumns): string[] {
  const known = [...columns.required, ...columns.optional];
  return titles
    .filter((title) => title !== "" && !known.includes(title))
    .map((title) => ({ title, near: nearestNames(title, known, 1)[0] }))
    .filter(({ title, near }) => near !== undefined && !titles.includes(near) && isClose(title, near))
    .map(({ title, near }) => `column "${title}" is unknown and was kept as it is; was "${near}" meant?`);
}

function isClose(title: string, near: string): boolean {
  return Math.abs(title.length - near.length) <= 2;
}

function example(columns: TableColumns): string {
  return [...columns.required, ...columns.optional].join(",");
}

import { DISPLAY, type DisplayBundle } from "../../display.js";
import { IonbookError } from "../../errors.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { measuredColumn, numberColumn } from "../page/result-cell.js";
import { type Content, html } from "../text/markup.js";
import { roundedMeasured } from "../text/measured-text.js";
import { fixed } from "../text/numbers.js";
import { htmlBlock } from "../view/html-block.js";

/** What a cell may hold; undefined stays blank. */
export type TableCell = string | number | MeasuredValue | undefined;

/** A small table for a notebook. */
export interface Table {
  readonly kind: "table";
  readonly columns: readonly string[];
  readonly rows: readonly Readonly<Record<string, TableCell>>[];
  readonly caption: string | undefined;
  toString(): string;
  [DISPLAY](): DisplayBundle;
}

/**
 * Rows as a table for reading. The keys of the rows are the headings. Measured values stand with their uncertainty
 * (95 % coverage), decimal points below each other, their unit in the heading when the column has one; whole numbers
 * as they are; other numbers come in as text, by `shown`.
 *
 * @throws IonbookError "empty-table" without rows; "bare-number" for a number with decimals
 */
export function table(
  rows: readonly Readonly<Record<string, TableCell>>[],
  options: { readonly caption?: string } = {},
): Table {
  if (!Array.isArray(rows) || rows.length === 0) {
    throw new IonbookError("empty-table", "a table needs at least one row: [{ heading: value, … }, …]");
  }
  const columns = [...new Set(rows.flatMap((row) => Object.keys(row)))];
  for (const row of rows) for (const column of columns) refuseBareNumber(row[column], column);
  return new PlainTable(columns, rows, options.caption);
}

function refuseBareNumber(cell: TableCell, column: string): void {
  if (typeof cell === "number" && !Number.isInteger(cell)) {
    throw new IonbookError(
      "bare-number",
      `the column "${column}" holds the bare number ${cell}: write it with its digits, as in shown(${cell}, "1", 3)`,
      { column },
    );
  }
}

class PlainTable implements Table {
  readonly kind = "table";
  readonly columns: readonly string[];
  readonly rows: readonly Readonly<Record<string, TableCell>>[];
  readonly caption: string | undefined;

  constructor(
    columns: readonly string[],
    rows: readonly Readonly<Record<string, TableCell>>[],
    caption: string | undefined,
  ) {
    this.columns = columns;
    this.rows = rows;
    this.caption = caption;
  }

  toString(): string {
    const lines = [this.columns, ...this.rows.map((row) => this.columns.map((name) => plain(row[name])))];
    const widths = this.columns.map((_, at) => Math.max(...lines.map((line) => line[at].length)));
    const drawn = lines.map((line) => line.map((text, at) => text.padEnd(widths[at])).join("  "));
    return [...(this.caption === undefined ? [] : [this.caption]), ...drawn.map((l) => l.trimEnd())].join(
      "\n",
    );
  }

  [DISPLAY](): DisplayBundle {
    return { "text/plain": this.toString(), "text/html": htmlBlock(tableMarkup(this)) };
  }
}

/** A table as markup, to stand among other things. */
export function tableMarkup({ columns, rows, caption }: Table): Content {
  const drawn = columns.map((name) =>
    columnCells(
      rows.map((row) => row[name]),
      name === columns[0],
    ),
  );
  const headings = columns.map((name, at) => {
    const cells = rows.map((row) => row[name]);
    const unit = commonUnit(cells);
    const text = unit === undefined ? name : html`${name} <small>/ ${unit}</small>`;
    return html`<th scope="col" class="${at > 0 && cells.some(isAmount) ? "num" : "text"}">${text}</th>`;
  });
  const lines = rows.map((_, row) => html`<tr>${drawn.map((column) => column[row])}</tr>\n`);
  return html`<div class="scroll wide"><table>${caption !== undefined && html`<caption>${caption}</caption>`}
<thead><tr>${headings}</tr></thead>
<tbody>${lines}</tbody></table></div>`;
}

function columnCells(cells: readonly TableCell[], first: boolean): readonly Content[] {
  if (first) return cells.map((cell) => html`<th scope="row">${plain(cell)}</th>`);
  if (cells.some(isMeasured))
    return measuredColumn(cells.map((cell) => (isMeasured(cell) ? cell : undefined)));
  if (cells.some((cell) => typeof cell === "number")) return numberColumn(cells.map(plain));
  return cells.map((cell) => html`<td class="text">${plain(cell)}</td>`);
}

/** The unit of a column of measured values when it is the same in every row and is one at all. */
function commonUnit(cells: readonly TableCell[]): string | undefined {
  const units = new Set(cells.filter(isMeasured).map((cell) => cell.unit));
  const [unit] = units;
  return units.size === 1 && unit !== "1" ? unit : undefined;
}

function plain(cell: TableCell): string {
  if (cell === undefined) return "";
  if (typeof cell === "string") return cell;
  if (typeof cell === "number") return fixed(cell, 0);
  const { value, uncertainty } = roundedMeasured(cell);
  return uncertainty === "" ? value : `${value} ± ${uncertainty}`;
}

function isMeasured(cell: TableCell): cell is MeasuredValue {
  return typeof cell === "object" && cell.kind === "measured-value";
}

function isAmount(cell: TableCell): boolean {
  return typeof cell === "number" || isMeasured(cell);
}

/** A value of a table: text, a number, a yes or no, or nothing where the column does not apply. */
export type Cell = string | number | boolean | undefined;

/**
 * A comma-separated table with a header row and a line feed after every row, quoted as RFC 4180 asks. Numbers
 * stand in full with a decimal point, plain down to 1e-6; NaN and `undefined` leave the cell empty; a text that
 * a spreadsheet would take for a formula gets a leading apostrophe.
 *
 * @source RFC 4180 (2005), section 2, rules 5 to 7 for quoting
 */
export function csvText(header: readonly string[], rows: readonly (readonly Cell[])[]): string {
  return [header, ...rows].map((row) => `${row.map(cellText).join(",")}\n`).join("");
}

function cellText(cell: Cell): string {
  if (cell === undefined) return "";
  if (typeof cell === "number") return Number.isNaN(cell) ? "" : String(cell);
  if (typeof cell === "boolean") return String(cell);
  return quoted(withoutFormula(cell));
}

/** Markers that make a spreadsheet calculate what should be read. */
function withoutFormula(text: string): string {
  return /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
}

function quoted(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** A table as danfojs holds it: only its shape is asked for, the library itself is never loaded. */
export interface Frame {
  readonly columns: readonly unknown[];
  readonly index: readonly unknown[];
  readonly values: readonly (readonly unknown[])[];
}

const MOST_ROWS = 60;
/** More digits than this are noise of binary fractions. */
const DIGITS = 10;

/** The value as a table, where it is one. */
export function asFrame(value: object): Frame | undefined {
  const { columns, index, values } = value as Partial<Record<keyof Frame, unknown>>;
  if (!Array.isArray(columns) || !Array.isArray(index) || !Array.isArray(values)) return undefined;
  if (values.length !== index.length) return undefined;
  const rows = values.map((row: unknown) => (Array.isArray(row) ? row : [row]));
  return rows.every((row) => row.length === columns.length) ? { columns, index, values: rows } : undefined;
}

/** The first rows as an HTML table, numbers aligned at the right, with a sentence on what is hidden. */
export function frameHtml({ columns, index, values }: Frame): string {
  const numeric = columns.map((_, column) => values.some((row) => typeof row[column] === "number"));
  const align = (column: number) =>
    numeric[column]
      ? ' style="text-align:right;font-variant-numeric:tabular-nums"'
      : ' style="text-align:left"';
  const head = columns.map((name, column) => `<th${align(column)}>${escapeHtml(name)}</th>`).join("");
  const body = values.slice(0, MOST_ROWS).map((row, at) => {
    const cells = row
      .map((cell, column) => `<td${align(column)}>${escapeHtml(cellText(cell))}</td>`)
      .join("");
    return `<tr><th>${escapeHtml(index[at])}</th>${cells}</tr>`;
  });
  const hidden = values.length - body.length;
  const note = hidden > 0 ? `<p>${hidden} of ${values.length} rows are not shown.</p>` : "";
  return `<table><thead><tr><th></th>${head}</tr></thead><tbody>${body.join("")}</tbody></table>${note}`;
}

function cellText(cell: unknown): string {
  if (cell === null || cell === undefined) return "";
  if (typeof cell !== "number" || Number.isInteger(cell) || !Number.isFinite(cell)) return String(cell);
  return String(Number(cell.toPrecision(DIGITS)));
}

function escapeHtml(text: unknown): string {
  return String(text).replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);
}

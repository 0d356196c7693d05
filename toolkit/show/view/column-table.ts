import type { MeasuredValue } from "../../uncertainty/measured.js";
import { measuredColumn, numberColumn } from "../page/result-cell.js";
import { type Content, html } from "../text/markup.js";

/** A column of a narrow table: numbers stand below each other by their decimal points, prose may wrap. */
export interface Column {
  readonly title: string;
  /** Written small behind the title. */
  readonly unit?: string;
  readonly cells:
    | { readonly words: readonly string[] }
    | { readonly prose: readonly string[] }
    | { readonly numbers: readonly string[] }
    | { readonly measured: readonly (MeasuredValue | undefined)[] };
}

/** Columns side by side as a table that names its rows by the first one; empty columns are left out. */
export function columnTable(columns: readonly Column[]): Content {
  const shown = columns.filter((column, at) => at === 0 || !isEmpty(column));
  const drawn = shown.map((column, at) => drawnCells(column, at === 0));
  const heads = shown.map(({ title, unit, cells }, at) => {
    const text = unit === undefined ? title : html`${title} <small>/ ${bracketed(unit)}</small>`;
    return html`<th scope="col"${at > 0 && ("measured" in cells || "numbers" in cells) && NUMBER}>${text}</th>`;
  });
  const rows = drawn[0].map((_, row) => html`<tr>${drawn.map((column) => column[row])}</tr>\n`);
  return html`<div class="scroll wide"><table><thead><tr>${heads}</tr></thead><tbody>${rows}</tbody></table></div>`;
}

/** "(µS/cm)" behind the stroke of a heading. */
function bracketed(unit: string): string {
  return unit.includes("/") && !unit.startsWith("(") ? `(${unit})` : unit;
}

const NUMBER = html` class="num"`;

function drawnCells({ cells }: Column, first: boolean): readonly Content[] {
  if ("measured" in cells) return measuredColumn(cells.measured);
  if ("numbers" in cells) return numberColumn(cells.numbers);
  if ("prose" in cells) return cells.prose.map((words) => html`<td class="text">${words}</td>`);
  return cells.words.map((word) => (first ? html`<th scope="row">${word}</th>` : html`<td>${word}</td>`));
}

function isEmpty({ cells }: Column): boolean {
  if ("measured" in cells) return cells.measured.every((value) => value === undefined);
  return Object.values(cells).every((texts: readonly string[]) => texts.every((text) => text === ""));
}

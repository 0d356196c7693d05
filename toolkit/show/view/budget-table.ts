import type { MeasuredValue } from "../../uncertainty/measured.js";
import { type Content, html } from "../text/markup.js";
import { significant, trimmed } from "../text/numbers.js";

/** Most rows that a budget shows; the rest is summed up. */
export const MOST_SOURCES = 8;

/** What the uncertainty of a value consists of, largest first; undefined for an exact value. */
export function budgetTable(measured: MeasuredValue): Content {
  const budget = measured.budget().filter((row) => row.contribution > 0);
  if (budget.length === 0) return undefined;
  const rows = budget
    .slice(0, MOST_SOURCES)
    .map(
      (row) =>
        html`<tr><th scope="row">${row.source}</th><td class="num">${significant(row.contribution, 2)}</td><td class="num">${trimmed(100 * row.share, 2)}</td><td class="num">${Number.isFinite(row.dof) ? trimmed(row.dof, 2) : "∞"}</td></tr>\n`,
    );
  const rest = budget.slice(MOST_SOURCES).reduce((sum, row) => sum + row.share, 0);
  const more =
    rest > 0 &&
    html`<tr><th scope="row">${budget.length - MOST_SOURCES} more</th><td></td><td class="num">${trimmed(100 * rest, 2)}</td><td></td></tr>`;
  return html`<div class="scroll"><table><thead><tr><th>source of uncertainty</th><th class="num">contribution to u / (${measured.unit})</th><th class="num">share of u² / %</th><th class="num">degrees of freedom</th></tr></thead><tbody>${rows}${more}</tbody></table></div>`;
}

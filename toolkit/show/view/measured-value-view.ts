import type { DisplayBundle } from "../../display.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { budgetChart } from "../chart/budget-chart.js";
import { html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { significant, trimmed } from "../text/numbers.js";
import { chartBundle } from "./chart-bundle.js";
import { htmlBlock } from "./html-block.js";

/** Most rows that a budget shows; the rest is summed up. */
const MOST = 8;

/** A value with its budget: what its uncertainty consists of, as a table and as bars. */
export async function measuredValueView(measured: MeasuredValue): Promise<DisplayBundle> {
  const budget = measured.budget().filter((row) => row.contribution > 0);
  const { k } = measured.interval();
  const text = String(measured);
  if (budget.length === 0)
    return { "text/plain": text, "text/html": htmlBlock(html`<p><strong>${text}</strong></p>`) };
  const rows = budget
    .slice(0, MOST)
    .map(
      (row) =>
        html`<tr><th scope="row">${row.source}</th><td class="num">${significant(row.contribution, 2)}</td><td class="num">${trimmed(100 * row.share, 2)}</td><td class="num">${Number.isFinite(row.dof) ? trimmed(row.dof, 2) : "∞"}</td></tr>\n`,
    );
  const rest = budget.slice(MOST).reduce((sum, row) => sum + row.share, 0);
  const more =
    rest > 0 &&
    html`<tr><th scope="row">${budget.length - MOST} more</th><td></td><td class="num">${trimmed(100 * rest, 2)}</td><td></td></tr>`;
  const body = html`<p><strong>${measuredText(measured)}</strong> <small>95 %, k = ${k.toFixed(2)}</small></p>
<div class="scroll"><table><thead><tr><th>source of uncertainty</th><th class="num">contribution to u / (${measured.unit})</th><th class="num">share of u² / %</th><th class="num">degrees of freedom</th></tr></thead><tbody>${rows}${more}</tbody></table></div>`;
  return { ...(await chartBundle(text, budgetChart(measured, MOST))), "text/html": htmlBlock(body) };
}

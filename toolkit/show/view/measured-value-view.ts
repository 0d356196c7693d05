import type { DisplayBundle } from "../../display.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { budgetChart } from "../chart/budget-chart.js";
import { type Content, html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { budgetTable, MOST_SOURCES } from "./budget-table.js";
import { chartAmongWords } from "./chart-bundle.js";
import { htmlBlock } from "./html-block.js";

/** A value with its budget: what its uncertainty consists of, as a table and as bars. */
export async function measuredValueView(measured: MeasuredValue): Promise<DisplayBundle> {
  const table = budgetTable(measured);
  const text = String(measured);
  if (table === undefined)
    return { "text/plain": text, "text/html": htmlBlock(html`<p><strong>${text}</strong></p>`) };
  const { k } = measured.interval();
  const body = (
    chart: Content,
  ) => html`<p><strong>${measuredText(measured)}</strong> <small>95 %, k = ${k.toFixed(2)}</small></p>
${table}
<div class="scroll">${chart}</div>`;
  return chartAmongWords(text, budgetChart(measured, MOST_SOURCES), body);
}

import type { CheckResult, Explanation } from "../../batch/types.js";
import type { DisplayBundle } from "../../display.js";
import { budgetChart } from "../chart/budget-chart.js";
import { type Content, html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { counted, listed } from "../text/words.js";
import { budgetTable, MOST_SOURCES } from "./budget-table.js";
import { chartAmongWords } from "./chart-bundle.js";
import { htmlBlock } from "./html-block.js";

/** Why a result is what it is: the number, what its uncertainty consists of, and every step back to the raw file. */
export async function explanationView(explanation: Explanation): Promise<DisplayBundle> {
  const { result, sample, ion, cautions, checks, steps } = explanation;
  const { value, status } = result;
  const cautious = cautions.length > 0 && html`<p>Mind: ${listed(cautions)}.</p>`;
  const body = (
    chart: Content,
  ) => html`<p><strong>${ion} in ${sample}: ${value ? measuredText(value) : status}</strong> <small>${status}</small></p>
${cautious}${value && budgetTable(value)}
${chart && html`<div class="scroll">${chart}</div>`}
<p>Back to the raw record:</p>
<div class="scroll"><table><tbody>${steps.map(stepRow)}</tbody></table></div>
<p class="note">${checkSentence(checks)}</p>`;
  const text = String(explanation);
  if (value === undefined || value.u === 0) {
    return { "text/plain": text, "text/html": htmlBlock(body(undefined)) };
  }
  return chartAmongWords(text, budgetChart(value, MOST_SOURCES), body);
}

function stepRow({ step, sentences }: Explanation["steps"][number]): Content {
  return html`<tr><th scope="row">${step}</th><td class="text">${sentences.join(" ")}</td></tr>\n`;
}

function checkSentence(checks: readonly CheckResult[]): string {
  if (checks.length === 0) return "No check governs this result.";
  const failed = checks.filter((check) => !check.passed);
  const governed = `${counted(checks.length, "check governs", "checks govern")} it`;
  if (failed.length === 0) return `${governed}; none failed.`;
  return `${governed}; failed: ${listed(failed.map((check) => `${check.check} in ${check.injection}`))}.`;
}

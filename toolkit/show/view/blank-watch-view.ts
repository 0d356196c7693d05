import type { DisplayBundle } from "../../display.js";
import type { BlankWatch } from "../../limits/blank-watch-types.js";
import { blankWatchChart } from "../chart/blank-watch-chart.js";
import { type Content, html } from "../text/markup.js";
import { fixed, limitText, quantity, significant } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { counted, sentenceCase } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";
import { testTable } from "./curve-view.js";
import { htmlBlock } from "./html-block.js";

/** What contradicts the limits in force first, then the blanks in their order and every test line by line. */
export function blankWatchView(watch: BlankWatch): DisplayBundle | Promise<DisplayBundle> {
  const text = String(watch);
  const chart = blankWatchChart(watch);
  if (chart === undefined) return { "text/plain": text, "text/html": htmlBlock(watchBody(watch, undefined)) };
  return chartAmongWords(text, chart, (drawn) => watchBody(watch, drawn));
}

function watchBody(watch: BlankWatch, chart: Content): Content {
  const { ion, unit, definition, criticalValue, alarm, omitted } = watch;
  const of = ion === undefined ? "" : ` of ${ion}`;
  return html`<p><strong>${sentenceCase(`blanks${of}`)} against the limits in force: ${outcomeOf(watch)}</strong></p>
${blankWarnings(watch)}
<p>Critical value ${quantity(limitText(criticalValue), unit)} (${definition}). ${shareWords(watch)}</p>
${chart && html`<div class="scroll">${chart}</div>`}
${testTable(watch.tests)}
${omitted.length > 0 && html`<ul>${omitted.map(({ name, because }) => html`<li>Not tested: ${name}; ${because}.</li>`)}</ul>`}
<p class="note">Squares: blanks the limits rest on; circles: blanks held against them; crosses: above the critical value; lines: means. While nothing has changed, any warning at all comes with at most ${quantity(significant(100 * alarm, 2), "%")}, shared by the tests. Few blanks show little: no warning is no proof.</p>`;
}

function outcomeOf({ contradicted, tests }: BlankWatch): string {
  if (contradicted) return "contradicted";
  return tests.length === 0 ? "nothing could be tested" : "not contradicted";
}

/** One line for each warning, by name; nothing where there is none. */
export function blankWarnings({ warnings }: BlankWatch): Content {
  if (warnings.length === 0) return undefined;
  return html`${warnings.map(({ name, text }) => html`<p>▲ ${typesetSentence(text)} <small>${name}</small></p>\n`)}`;
}

function shareWords({ share, withoutNumber }: BlankWatch): string {
  const missing =
    withoutNumber === 0 ? "" : ` ${sentenceCase(counted(withoutNumber, "blank"))} gave no number.`;
  if (share === undefined) return `There is no blank with a number.${missing}`;
  const { above, of, low, high, allowed } = share;
  const percent = (value: number) => fixed(100 * value, value > 0 && value < 0.1 ? 1 : 0);
  return `Above it: ${above} of ${of}; the true share lies between ${percent(low)} and ${quantity(percent(high), "%")} (95 %), allowed are ${quantity(significant(100 * allowed, 2), "%")}.${missing}`;
}

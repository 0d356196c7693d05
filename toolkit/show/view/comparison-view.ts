import { comparisonWords } from "../../compare/comparison-words.js";
import type { SeriesComparison } from "../../compare/series-comparison.js";
import type { DisplayBundle } from "../../display.js";
import { asksForChange, comparisonChart } from "../chart/effect-chart.js";
import { html } from "../text/markup.js";
import { sentenceCase } from "../text/words.js";
import { type Table, table, tableMarkup } from "../writing/table.js";
import { chartAmongWords } from "./chart-bundle.js";

/** Effect with its interval first, then the smallest difference that such a study could show, then the test. */
export async function comparisonView(comparison: SeriesComparison): Promise<DisplayBundle> {
  const words = comparisonWords(comparison);
  const notes = [`Test: ${words.test}`, ...words.places.map(sentenceCase), ...words.notes.map(sentenceCase)];
  return chartAmongWords(
    String(comparison),
    comparisonChart(comparison),
    (chart) => html`<p><strong>${sentenceCase(words.headline)}.</strong> ${sentenceCase(words.effect)}.</p>
<p>${sentenceCase(words.smallest)}.</p>
<div class="scroll">${chart}</div>
${notes.map((note) => html`<p class="note">${note}.</p>\n`)}
<p>Means of the visits, with their scatter; uncertainties: 95 %.</p>
${tableMarkup(levelTable(comparison))}`,
  );
}

/** The mean of each place before and after, and the change; or over all visits where the places are compared. */
function levelTable(comparison: SeriesComparison): Table {
  const rows = comparison.places.map(({ place, levels, change }) => {
    const mean = (wanted: "before" | "after" | undefined) =>
      levels.find(({ period }) => period === wanted)?.mean;
    return asksForChange(comparison)
      ? { place, before: mean("before"), after: mean("after"), change }
      : { place, mean: mean(undefined) };
  });
  return table(rows);
}

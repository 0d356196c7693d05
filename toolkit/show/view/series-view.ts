import { comparisonWords } from "../../compare/comparison-words.js";
import type { Series } from "../../compare/series.js";
import type { SeriesComparison } from "../../compare/series-comparison.js";
import type { DisplayBundle } from "../../display.js";
import { comparisonChart, seriesChart } from "../chart/series-chart.js";
import { html } from "../text/markup.js";
import { sentenceCase } from "../text/words.js";
import { table, tableMarkup } from "../writing/table.js";
import { chartBundle } from "./chart-bundle.js";
import { htmlBlock } from "./html-block.js";

/** Visits of one place: over time, and as a table. */
export async function seriesView(series: Series): Promise<DisplayBundle> {
  const { ion, place, visits } = series;
  const rows = visits.map(({ sample, collectedAt, period, value, status }) => ({
    sample,
    collected: collectedAt?.slice(0, 10) ?? "no date",
    period: period ?? "",
    [ion]: value,
    status,
  }));
  const caption = `${sentenceCase(ion)} at ${place}; uncertainties and bars: 95 %`;
  const drawn = await chartBundle(String(series), seriesChart(series));
  if (rows.length === 0) return drawn;
  return { ...drawn, "text/html": htmlBlock(tableMarkup(table(rows, { caption }))) };
}

/** Effect with its interval first, then the test, then the smallest difference that such a study could show. */
export async function comparisonView(comparison: SeriesComparison): Promise<DisplayBundle> {
  const words = comparisonWords(comparison);
  const rows = comparison.places.map(({ place, levels, change }) => {
    const level = (name: "before" | "after") => levels.find(({ period }) => period === name)?.mean;
    return { place, before: level("before"), after: level("after"), change };
  });
  const withChange = rows.some(({ change }) => change !== undefined);
  const means = comparison.places.map(({ place, levels }) => ({
    place,
    mean: levels.find(({ period }) => period === undefined)?.mean,
  }));
  const levels = table(withChange ? rows : means, {
    caption: "Means of the visits, with their scatter; 95 %",
  });
  const body = html`<p><strong>${sentenceCase(words.headline)}.</strong> ${sentenceCase(words.effect)}.</p>
<p>${sentenceCase(words.smallest)}.</p>
<p class="note">Test: ${words.test}.</p>
${words.notes.map((note) => html`<p class="note">${sentenceCase(note)}.</p>`)}
${tableMarkup(levels)}`;
  const drawn = await chartBundle(String(comparison), comparisonChart(comparison));
  return { ...drawn, "text/html": htmlBlock(body) };
}

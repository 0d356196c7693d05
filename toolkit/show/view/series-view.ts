import type { Series } from "../../compare/series.js";
import type { DisplayBundle } from "../../display.js";
import { drawnVisits, seriesChart } from "../chart/series-chart.js";
import { type Content, html } from "../text/markup.js";
import { counted, sentenceCase } from "../text/words.js";
import { table, tableMarkup } from "../writing/table.js";
import { chartAmongWords } from "./chart-bundle.js";
import { htmlBlock } from "./html-block.js";

/** Visits of one place: over time, and as a table. */
export async function seriesView(series: Series): Promise<DisplayBundle> {
  const text = String(series);
  const spec = seriesChart(series);
  if (spec === undefined)
    return { "text/plain": text, "text/html": htmlBlock(seriesBody(series, undefined)) };
  return chartAmongWords(text, spec, (chart) => seriesBody(series, chart));
}

function seriesBody(series: Series, chart: Content): Content {
  const { ion, place, visits } = series;
  const heading = html`<p><strong>${sentenceCase(ion)} at ${place}</strong>, ${counted(visits.length, "sample")}</p>`;
  if (visits.length === 0) return heading;
  const withPeriods = visits.some(({ period }) => period !== undefined);
  const rows = visits.map(({ sample, collectedAt, period, value, status }) => ({
    sample,
    collected: collectedAt?.slice(0, 10) ?? "no date",
    ...(withPeriods ? { period: period ?? "" } : {}),
    [ion]: value,
    status,
  }));
  const missing = visits.length - drawnVisits(series).length;
  const note = [
    "Uncertainties: 95 %.",
    ...(visits.some(({ status }) => status === "not detected") ? ["Not detected: the raw reading."] : []),
    ...(missing > 0 ? [`${counted(missing, "sample")} without a date or a value: not drawn.`] : []),
  ];
  return html`${heading}
<div class="scroll">${chart}</div>
${tableMarkup(table(rows))}
<p class="note">${note.join(" ")}</p>`;
}

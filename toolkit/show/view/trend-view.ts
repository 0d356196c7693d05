import type { FigureTrend } from "../../batch/figure-trend.js";
import type { DisplayBundle } from "../../display.js";
import { trendChart } from "../chart/trend-chart.js";
import { type Content, html } from "../text/markup.js";
import { fixed, quantity, significant } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { counted, listed, sentenceCase } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";
import { htmlBlock } from "./html-block.js";

/** A figure over the batch with its limits, and in words what is outside and what drifts. */
export async function trendView(trend: FigureTrend): Promise<DisplayBundle> {
  const text = String(trend);
  const chart = trendChart(trend);
  const body = (
    drawn: Content,
  ): Content => html`<p><strong>${sentenceCase(trend.name)} of ${trend.ion}</strong></p>
<p>${trendWords(trend).join(" ")}</p>
${drawn && html`<div class="scroll">${drawn}</div>`}
${outsideTable(trend)}
${missingWords(trend)}
<p class="note">${sentenceCase(trend.name)}: ${trend.formula} (${trend.standard}). Circles: samples, squares: standards, diamonds: other injections; ${trend.warning === undefined ? "fewer than five values give no limits" : "band: median ± 3 robust standard deviations; rings: outside it"}.</p>`;
  if (chart === undefined) return { "text/plain": text, "text/html": htmlBlock(body(undefined)) };
  return chartAmongWords(text, chart, body);
}

function trendWords({ points, median, spread, perRun, unit }: FigureTrend): readonly string[] {
  const values = points.filter(({ value }) => value !== undefined);
  const outside = points.filter(({ warned }) => warned);
  if (median === undefined) return [`None of ${counted(points.length, "injection")} shows it.`];
  const scatter =
    spread === undefined
      ? ""
      : `, robust standard deviation ${quantity(significant(spread, 2), unit)}${share(spread, median)}`;
  const drift =
    perRun === undefined || values.length < 2
      ? []
      : [
          `From the first to the last it ${perRun < 0 ? "falls" : "rises"} by ${quantity(significant(Math.abs(perRun) * (points[points.length - 1].run - points[0].run), 2), unit)} (median slope over all pairs).`,
        ];
  return [
    `Median ${quantity(significant(median, 4), unit)}${scatter}, ${counted(values.length, "injection")}.`,
    ...drift,
    outside.length === 0 ? "" : `Outside the limits: ${listed(outside.map(({ injection }) => injection))}.`,
  ].filter((sentence) => sentence !== "");
}

function share(spread: number, median: number): string {
  return median === 0 ? "" : ` (${quantity(significant(Math.abs((100 * spread) / median), 2), "%")})`;
}

function outsideTable({ points, unit }: FigureTrend): Content {
  const rows = points.filter(({ warned }) => warned);
  if (rows.length === 0) return undefined;
  return columnTable([
    { title: "outside", cells: { words: rows.map(({ injection }) => injection) } },
    { title: "solution", cells: { prose: rows.map(({ solution }) => solution) } },
    { title: "run", cells: { numbers: rows.map(({ run }) => fixed(run, 0)) } },
    {
      title: "value",
      ...(unit === "1" || unit === "" ? {} : { unit }),
      cells: { numbers: rows.map(({ value }) => significant(value as number, 4)) },
    },
  ]);
}

/** Injections without the figure, those with the same reason together. */
function missingWords({ points }: FigureTrend): Content {
  const byReason = new Map<string, string[]>();
  for (const { injection, reason } of points) {
    if (reason !== undefined) byReason.set(reason, [...(byReason.get(reason) ?? []), injection]);
  }
  if (byReason.size === 0) return undefined;
  const lines = [...byReason].map(([reason, names]) => `${listed(names)}: ${reason}`);
  return html`<details><summary>not shown by ${counted(points.filter(({ reason }) => reason !== undefined).length, "injection")}</summary><ul>${lines.map((line) => html`<li>${typesetSentence(line)}</li>`)}</ul></details>`;
}

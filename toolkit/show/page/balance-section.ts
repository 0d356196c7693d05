import type { Results, SampleBalance } from "../../batch/types.js";
import { balanceChart, groupsByScale } from "../chart/balance-chart.js";
import { renderSvg, svgForPage } from "../chart/render-svg.js";
import { type Content, html, Markup } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { distinct } from "../text/words.js";
import { balanceAnchor } from "./anchors.js";
import type { PageSection } from "./page-shell.js";
import { measuredColumn } from "./result-cell.js";

/** The same chart for wide windows and for telephones: inner width and room for names behind the bars, px. */
const SIZES = [
  ["broad", 640, 160],
  ["narrow", 270, 0],
] as const;

/** Do the two channels agree: paired bars on a broad and a narrow scale, criteria and suspects in words. */
export async function balanceSection(results: Results): Promise<PageSection> {
  const groups = groupsByScale(results.balances);
  const charts: Content[] = [];
  for (const [index, group] of groups.entries()) {
    if (index > 0)
      charts.push(
        html`<p class="note">The same on a scale of its own, for what carries far less charge:</p>\n`,
      );
    for (const [name, width, room] of SIZES) {
      const svg = await renderSvg(balanceChart(group, width, room));
      const drawn = svgForPage(svg, `balance-${index}-${name}`, describe(group));
      charts.push(html`<div class="chart wide ${name}">${new Markup(drawn)}</div>\n`);
    }
  }
  return {
    id: "balance",
    heading: "Do the two channels agree?",
    short: "Charge balance",
    body: html`<p class="note">Each pair should end at the same point. Brackets are the expanded uncertainty (95 %) of each sum; the open grey piece is the charge that unidentified anions carry at least, not part of the sum, dashed on to what they may carry, an arrow where that is out of sight: a weak acid shows only part of its charge. Difference = 100 (cations − anions)/(cations + anions).</p>
${charts}
${verdicts(results.balances)}`,
  };
}

function describe(group: readonly SampleBalance[]): string {
  const rows = group.map(
    (each) => `${each.sample}: cations ${measuredText(each.cations)}, anions ${measuredText(each.anions)}`,
  );
  return `Charge of cations and anions. ${rows.join("; ")}.`;
}

/** The sums, the difference and the outcome by each criterion; suspects in words where a sample fails. */
function verdicts(balances: readonly SampleBalance[]): Content {
  const sources = distinct(balances.flatMap((balance) => balance.criteria.map((each) => each.source)));
  const unknowns = balances.some((balance) => balance.unknownAnions !== undefined);
  const columns = [
    measuredColumn(balances.map((balance) => balance.cations)),
    measuredColumn(balances.map((balance) => balance.anions)),
    ...(unknowns ? [measuredColumn(balances.map((balance) => balance.unknownAnions))] : []),
    measuredColumn(balances.map((balance) => balance.percentDifference)),
  ];
  const rows = balances.map((balance, index) => {
    const outcomes = sources.map((source) => {
      const own = balance.criteria.filter((each) => each.source === source);
      return html`<td class="text">${own.map((each) => `${each.passed ? "meets" : "misses"} ${each.limit}`).join("; ")}</td>`;
    });
    return html`<tr id="${balanceAnchor(balance.sample)}"><th scope="row">${balance.sample}</th>${columns.map((column) => column[index])}<td>${balance.passed ? "passes" : html`<strong>fails</strong>`}</td>${outcomes}</tr>\n`;
  });
  const open = balances.filter((balance) => !balance.passed && balance.suspects.length > 0);
  const suspects = open.map(
    (balance) =>
      html`<h3>Why ${balance.sample} may not balance, most likely first</h3><ol>${balance.suspects.map((suspect) => html`<li>${suspect}</li>`)}</ol>\n`,
  );
  return html`<div class="scroll wide" tabindex="0" role="region" aria-label="Charge balance"><table>
<thead><tr><th>sample</th><th class="num">cations / (meq/L)</th><th class="num">anions / (meq/L)</th>${unknowns && html`<th class="num">unidentified anions</th>`}<th class="num">difference / %</th><th>outcome</th>${sources.map((source) => html`<th class="text">${source}</th>`)}</tr></thead>
<tbody>${rows}</tbody></table></div>
${suspects}`;
}

import type { Chromatogram } from "../../signal/chromatogram.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import type { ChargeBalance } from "../../water/balance/charge-balance.js";
import type { PublishedAnalysis } from "../../water/published/published-analyses.js";
import { publishedBalanceChart } from "../chart/published-balance-chart.js";
import { renderSvg, svgForPage } from "../chart/render-svg.js";
import { type Content, html, Markup } from "../text/markup.js";
import { fixed, quantity, signed, significant } from "../text/numbers.js";
import { counted } from "../text/words.js";
import type { DrawnPeak } from "../trace/drawn-trace.js";
import { readRecord } from "../trace/read-record.js";
import { traceFigure } from "../trace/trace-figure.js";
import { type PageSection, pageShell } from "./page-shell.js";
import { cautions } from "./report-page.js";
import { measuredColumn, numberColumn } from "./result-cell.js";

/** One peak that its publisher integrated, beside ours. */
export interface ComparedPeak {
  readonly number: number;
  /** Apex, min. */
  readonly publishedTime: number;
  /** In `areaUnit`. */
  readonly publishedArea: number;
  /** Ours between the published limits above the published straight baseline, in `areaUnit`. */
  readonly sameLimitsArea: number;
  /** Ours by our own rules; undefined where we find no such peak. */
  readonly own:
    | {
        readonly time: number;
        readonly start: number;
        readonly end: number;
        /** Above our baseline, in the unit of the record. */
        readonly height: number;
        /** In `areaUnit`. */
        readonly area: MeasuredValue;
        /** How it was integrated: "summation", "joint fit" …. */
        readonly rule: string;
      }
    | undefined;
}

export interface ComparedChromatogram {
  readonly record: Chromatogram;
  /** Ours; not-a-number outside the evaluated stretch. */
  readonly baseline: Float64Array;
  readonly areaUnit: string;
  readonly peaks: readonly ComparedPeak[];
  /** Where the record comes from, with its licence. */
  readonly source: string;
  /** Why the two integrations differ, in a sentence or two. */
  readonly remark: string;
}

export interface ComparedAnalyses {
  readonly analyses: readonly { readonly published: PublishedAnalysis; readonly own: ChargeBalance }[];
  readonly source: string;
  readonly remark: string;
}

/** What the page of real input shows. */
export interface RealInput {
  readonly chromatogram: ComparedChromatogram;
  readonly rivers: ComparedAnalyses;
}

/**
 * The page of real, published input as one HTML text: a real chromatogram with our integration beside its published
 * areas, and real river analyses with our charge balance beside the published sums, all differences stated.
 */
export async function realInputPage(input: RealInput): Promise<string> {
  const sections = [chromatogramPart(input.chromatogram), await riverPart(input.rivers)];
  return pageShell({
    title: "Real input beside published figures",
    opening: html`<p class="kicker">real data · not from this laboratory</p>
<h1>Do we get what others published?</h1>
<p class="answer">${areaSentence(input.chromatogram)} ${sumSentence(input.rivers)}</p>`,
    sections,
    closing: cautions(),
    zooms: true,
  });
}

/** The largest size, percent, of differences between ours and the published. */
function worst(pairs: readonly (readonly [own: number, published: number])[]): number {
  return Math.max(0, ...pairs.map(([own, published]) => Math.abs(percentOff(own, published))));
}

function percentOff(own: number, published: number): number {
  return (100 * (own - published)) / published;
}

function areaSentence(compared: ComparedChromatogram): string {
  const { peaks } = compared;
  const same = worst(peaks.map((peak) => [peak.sameLimitsArea, peak.publishedArea]));
  const found = peaks.flatMap((peak) =>
    peak.own ? [[peak.own.area.value, peak.publishedArea] as const] : [],
  );
  const own = worst(found);
  return `Between the published limits, all ${peaks.length} areas of a real chromatogram agree within ${percentText(same)}; by our own rules ${found.length} of ${peaks.length} are found, the farthest ${percentText(own)} from the published area.`;
}

function percentText(value: number): string {
  return quantity(value < 0.01 ? "0.01" : significant(value, 2), "%");
}

function sumSentence(compared: ComparedAnalyses): string {
  const gaps = compared.analyses.flatMap(({ published, own }) => [
    Math.abs(own.cations.value - published.published.cations),
    Math.abs(own.anions.value - published.published.anions),
  ]);
  return `The sums of ${counted(compared.analyses.length, "river analysis", "river analyses")} agree with the published ones within ${quantity(significant(Math.max(0, ...gaps), 2), "meq/L")}.`;
}

function chromatogramPart(compared: ComparedChromatogram): PageSection {
  const { peaks, record, areaUnit } = compared;
  const drawn = readRecord(record, { baseline: compared.baseline, peaks: peaks.flatMap(drawnPeak) });
  const percents = peaks.map((peak) =>
    peak.own ? signed(percentOff(peak.own.area.value, peak.publishedArea), 2) : "",
  );
  const columns = [
    numberColumn(peaks.map((peak) => fixed(peak.publishedTime, 2))),
    numberColumn(peaks.map((peak) => (peak.own ? fixed(peak.own.time, 2) : "not found"))),
    numberColumn(peaks.map((peak) => fixed(peak.publishedArea, 2))),
    numberColumn(peaks.map((peak) => fixed(peak.sameLimitsArea, 2))),
    measuredColumn(peaks.map((peak) => peak.own?.area)),
    numberColumn(percents),
  ];
  const rows = peaks.map(
    (peak, index) =>
      html`<tr><th scope="row">${peak.number}</th>${columns.map((column) => column[index])}<td>${peak.own?.rule}</td></tr>\n`,
  );
  return {
    id: "chromatogram",
    heading: "A real liquid chromatogram and its published areas",
    short: "Chromatogram",
    body: html`<p class="note">${compared.source}</p>
${traceFigure(drawn, {
  id: "trace-published",
  caption: html`<strong>${record.id}</strong> <small>${record.time.length} points · ${record.signalUnit}</small>`,
  description: `Chromatogram with ${peaks.length} published peaks.`,
})}
<div class="scroll wide" tabindex="0" role="region" aria-label="Areas"><table>
<thead><tr><th>peak</th><th class="num">published apex / min</th><th class="num">ours</th><th class="num">published area / (${areaUnit})</th><th class="num">same limits</th><th class="num">our own rules</th><th class="num">difference / %</th><th>rule</th></tr></thead>
<tbody>${rows}</tbody></table></div>
<p>${compared.remark}</p>
<p class="note">± is the expanded uncertainty for 95 % coverage.</p>`,
  };
}

function drawnPeak(peak: ComparedPeak): readonly DrawnPeak[] {
  if (peak.own === undefined) return [];
  const { time, start, end, height, area, rule } = peak.own;
  const about = `peak ${peak.number} · area ${String(area)} · published ${fixed(peak.publishedArea, 2)} · ${rule}`;
  const look = { color: "unknown", named: false, system: false, fitted: false };
  return [{ label: `peak ${peak.number}`, time, start, end, height, about, ...look }];
}

async function riverPart(compared: ComparedAnalyses): Promise<PageSection> {
  const { analyses } = compared;
  const columns = [
    numberColumn(analyses.map(({ published }) => fixed(published.published.cations, 3))),
    numberColumn(analyses.map(({ own }) => fixed(own.cations.value, 3))),
    numberColumn(analyses.map(({ published }) => fixed(published.published.anions, 3))),
    numberColumn(analyses.map(({ own }) => fixed(own.anions.value, 3))),
    numberColumn(analyses.map(({ published }) => signed(published.published.percentDifference, 2))),
    numberColumn(analyses.map(({ own }) => signed(own.percentDifference.value, 2))),
  ];
  const rows = analyses.map(({ published, own }, index) => {
    const first = own.suspects[0];
    const doubt = own.passed || first === undefined ? "" : `first suspect: ${first.cause}`;
    return html`<tr><th scope="row">${published.date} <small>${published.sample}</small></th>${columns.map((column) => column[index])}<td>${own.passed ? "passes" : "fails"}</td><td class="text"><small>${doubt}</small></td></tr>\n`;
  });
  return {
    id: "rivers",
    heading: "Real river analyses and their published sums",
    short: "River analyses",
    body: html`<p class="note">${compared.source}</p>
<p class="note">Open circles: the difference as published; dots inside them: ours.</p>
${await riverCharts(compared)}
<div class="scroll wide" tabindex="0" role="region" aria-label="Sums"><table>
<thead><tr><th>date and sample</th><th class="num">cations, published / (meq/L)</th><th class="num">ours</th><th class="num">anions, published / (meq/L)</th><th class="num">ours</th><th class="num">difference, published / %</th><th class="num">ours</th><th>outcome</th><th></th></tr></thead>
<tbody>${rows}</tbody></table></div>
<p>${compared.remark}</p>`,
  };
}

/** The same chart for wide windows and for telephones. */
async function riverCharts({ analyses }: ComparedAnalyses): Promise<Content> {
  const points = analyses.map(({ published, own }) => ({
    label: published.date,
    published: published.published.percentDifference,
    own: own.percentDifference.value,
  }));
  const label = "Percent difference of the charge, published and ours, for each analysis.";
  const charts: Content[] = [];
  for (const [name, width] of Object.entries({ broad: 520, narrow: 230 })) {
    const svg = svgForPage(await renderSvg(publishedBalanceChart(points, width)), `rivers-${name}`, label);
    charts.push(html`<div class="chart wide ${name}">${new Markup(svg)}</div>\n`);
  }
  return charts;
}

import type { DisplayBundle } from "../../display.js";
import type { FoundDip } from "../../peaks/detection/find-dips.js";
import { traceAnchor } from "../page/anchors.js";
import { type Content, html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity, signed, significant } from "../text/numbers.js";
import { typeset, typesetSentence } from "../text/typeset.js";
import { counted, sentenceCase } from "../text/words.js";
import {
  integratedName,
  readIntegration,
  type ShownIntegratedPeak,
  type ShownIntegration,
} from "../trace/read-integration.js";
import { columnTable } from "./column-table.js";
import { drawnBundle } from "./drawn-bundle.js";

/** An integrated chromatogram: its picture, its areas, why each peak was treated as it was, and what was refused. */
export function integrationView(integration: ShownIntegration): Promise<DisplayBundle> {
  const { chromatogram, peaks } = integration;
  const refused = peaks.filter(({ quantifiable }) => !quantifiable);
  const count = counted(peaks.length, "peak");
  const title = refused.length === 0 ? count : `${count}, ${refused.length} of them not quantified`;
  const areas = peaks.map((peak) => `${integratedName(peak)} ${areaWords(peak)}`);
  return drawnBundle(readIntegration(integration), {
    text: [`${chromatogram.id}: ${title}`, ...areas].join("\n"),
    id: traceAnchor(`${chromatogram.id} integrated`),
    caption: html`<strong>${chromatogram.id}</strong> <small>${title}</small>`,
    description: `Integrated chromatogram ${chromatogram.id}. ${areas.join("; ")}.`,
    body: integrationBody(integration, refused),
  });
}

function areaWords({ area, quantifiable, refusal }: ShownIntegratedPeak): string {
  if (quantifiable) return measuredText(area);
  return `not quantified: ${typeset(refusal?.reason ?? "refused")}`;
}

function integrationBody(
  { peaks, dips }: ShownIntegration,
  refused: readonly ShownIntegratedPeak[],
): Content {
  if (peaks.length === 0)
    return html`<p>No peak stands out of the noise.</p>${dips.length > 0 && html`<p>${dipWords(dips)}</p>`}`;
  const reasons = peaks.map(
    (peak) => html`<li>${integratedName(peak)}: ${peak.rule}. ${typesetSentence(peak.because)}</li>`,
  );
  return html`${refused.length > 0 && html`<ul>${refused.map(refusalItem)}</ul>`}
${areaTable(peaks)}
${dips.length > 0 && html`<p>${dipWords(dips)}</p>`}
<details><summary>why each peak was treated as it was</summary><ul class="wide">${reasons}</ul></details>
${otherRules(peaks)}
<p class="note">Uncertainties: 95 %. S/N: height over the standard deviation of the noise. Residual: record − baseline − fitted peaks and the backgrounds of riders; none under summed peaks.</p>`;
}

function refusalItem(peak: ShownIntegratedPeak): Content {
  const { refusal } = peak;
  if (refusal === undefined)
    return html`<li><strong>${integratedName(peak)} is not quantified.</strong></li>`;
  return html`<li><strong>${integratedName(peak)} is not quantified:</strong> ${typeset(refusal.reason)}. ${typesetSentence(refusal.advice)}</li>`;
}

/** Apexes and areas; what is not quantified has no area here, so that nobody copies it by accident. */
function areaTable(peaks: readonly ShownIntegratedPeak[]): Content {
  const units = [...new Set(peaks.map(({ area }) => area.unit))];
  return columnTable([
    { title: "peak", cells: { words: peaks.map(integratedName) } },
    { title: "apex", unit: "min", cells: { numbers: peaks.map((peak) => fixed(peak.retentionTime, 3)) } },
    {
      title: "area",
      unit: units[0],
      cells: { measured: peaks.map(({ quantifiable, area }) => (quantifiable ? area : undefined)) },
    },
    { title: "S/N", cells: { numbers: peaks.map((peak) => significant(peak.signalToNoise, 2)) } },
    {
      title: "rule",
      cells: { words: peaks.map(({ quantifiable, rule }) => (quantifiable ? rule : "not quantified")) },
    },
    { title: "largest source of u", cells: { words: peaks.map(largestSource) } },
  ]);
}

function largestSource({ area, quantifiable }: ShownIntegratedPeak): string {
  const [first] = area.budget().filter(({ share }) => share > 0);
  if (first === undefined || !quantifiable) return "";
  return `${first.source.split(":")[0]} (${quantity(fixed(100 * first.share, 0), "% of u²")})`;
}

function dipWords(dips: readonly FoundDip[]): string {
  const at = dips.map(({ retentionTime }) => fixed(retentionTime, 2)).join(", ");
  return `${sentenceCase(counted(dips.length, "dip"))} below the baseline at ${quantity(at, "min")}: listed as such, not integrated.`;
}

/** What the rules by name would have given, folded. */
function otherRules(peaks: readonly ShownIntegratedPeak[]): Content {
  const rules = [...new Set(peaks.flatMap(({ alternatives }) => alternatives.map(({ rule }) => rule)))];
  if (rules.length === 0) return undefined;
  const columns = rules.map((rule) => ({
    title: rule,
    unit: "%",
    cells: { numbers: peaks.map((peak) => differenceBy(peak, rule)) },
  }));
  const drawn = columnTable([
    { title: "peak", cells: { words: peaks.map(integratedName) } },
    { title: "rule used", cells: { words: peaks.map(({ rule }) => rule) } },
    ...columns,
  ]);
  return html`<details><summary>the same by other rules: difference in area</summary>${drawn}</details>`;
}

/** In per cent of the area; empty where there is none to compare with. */
function differenceBy({ alternatives, area, quantifiable }: ShownIntegratedPeak, rule: string): string {
  const other = alternatives.find((each) => each.rule === rule);
  const percent = other === undefined || !quantifiable ? Number.NaN : (100 * other.difference) / area.value;
  return Number.isFinite(percent) ? signed(percent, 1) : "";
}

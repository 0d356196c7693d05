import type { AdditionStudy } from "../../calibration/addition/addition-study.js";
import type { DisplayBundle } from "../../display.js";
import { additionChart } from "../chart/addition-chart.js";
import { type Content, html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { quantity, significant } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { sentenceCase } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

/** A standard addition: the content, its line, and what was looked at. */
export function additionView(study: AdditionStudy): Promise<DisplayBundle> {
  return chartAmongWords(String(study), additionChart(study), (chart) => additionBody(study, chart));
}

function additionBody(study: AdditionStudy, chart: Content): Content {
  const { ion, unit, concentration, interval, checks, slope, intercept } = study;
  const ends = interval && [interval.low, interval.high].map((end) => significant(end, 3));
  const between = ends
    ? `95 % between ${ends[0]} and ${quantity(ends[1], unit)} by Fieller's theorem.`
    : "Fieller's interval has no end: the slope may be zero.";
  return html`<p><strong>Standard addition${ion !== undefined && ` of ${ion}`}: ${measuredText(concentration)}.</strong> ${between} Intercept ${significant(intercept, 4)}, slope ${significant(slope, 4)}.</p>
<div class="scroll">${chart}</div>
${columnTable([
  { title: "looked at", cells: { words: checks.map(({ name }) => sentenceCase(name)) } },
  { title: "", cells: { words: checks.map(({ passed }) => (passed ? "✓ passed" : "▲ look")) } },
  { title: "found", cells: { prose: checks.map(({ words }) => typesetSentence(words)) } },
  { title: "source", cells: { prose: checks.map(({ source }) => sentenceCase(source)) } },
])}`;
}

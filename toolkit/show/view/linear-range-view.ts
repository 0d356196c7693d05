import type {
  LinearRange,
  RangeEvidence,
  RangeLevel,
  UnansweredTest,
} from "../../calibration/range/linear-range.js";
import type { DisplayBundle } from "../../display.js";
import { rangeChart } from "../chart/range-chart.js";
import { html } from "../text/markup.js";
import { fixed, signed, significant, trimmed } from "../text/numbers.js";
import { typeset } from "../text/typeset.js";
import { sentenceCase } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

/** The plateau of the response factors, what each level says and the evidence for the range. */
export function linearRangeView(range: LinearRange): Promise<DisplayBundle> {
  const { levels, evidence } = range;
  return chartAmongWords(
    String(range),
    rangeChart(range, range.criteria.responseFactorPercent),
    (chart) => html`<p><strong>${verdict(range)}</strong></p>
<div class="scroll">${chart}</div>
<p class="note">Filled: accepted levels; rings: levels set aside; band: the allowed plateau over the range. Response factor: (mean response − blank)/concentration; all in percent against the middle levels.</p>
${levelTable(levels, range.unit)}
<p></p>
${evidenceTable(evidence)}
${notAskedTable(range.notAsked)}`,
  );
}

function verdict({ verdict: words }: LinearRange): string {
  return `${sentenceCase(typeset(words))}.`;
}

function levelTable(levels: readonly RangeLevel[], unit: string) {
  const change = (figure: "retentionShiftPercent" | "tailingChangePercent" | "widthChangePercent") =>
    levels.map((level) => (level[figure] === undefined ? "" : signed(level[figure], 1)));
  const scatter = levels.map(({ scatterPercent }) =>
    scatterPercent === undefined ? "" : fixed(scatterPercent, 1),
  );
  return columnTable([
    {
      title: "level",
      unit,
      cells: { numbers: levels.map((level) => trimmed(level.concentration, 4)) },
    },
    {
      title: "response factor",
      cells: { numbers: levels.map((level) => significant(level.responseFactor, 4)) },
    },
    {
      title: "against the middle",
      unit: "%",
      cells: { numbers: levels.map((level) => signed(level.deviationPercent, 1)) },
    },
    { title: "scatter", unit: "%", cells: { numbers: scatter } },
    { title: "retention", unit: "%", cells: { numbers: change("retentionShiftPercent") } },
    { title: "tailing", unit: "%", cells: { numbers: change("tailingChangePercent") } },
    { title: "width", unit: "%", cells: { numbers: change("widthChangePercent") } },
    {
      title: "verdict",
      cells: {
        prose: levels.map(({ accepted, reasons }) => (accepted ? "accepted" : typeset(reasons.join("; ")))),
      },
    },
  ]);
}

function evidenceTable(evidence: readonly RangeEvidence[]) {
  return columnTable([
    { title: "evidence", cells: { words: evidence.map(({ test }) => typeset(test)) } },
    { title: "found", cells: { numbers: evidence.map(({ statistic }) => trimmed(statistic, 3)) } },
    { title: "limit", cells: { numbers: evidence.map(({ critical }) => trimmed(critical, 3)) } },
    {
      title: "p",
      cells: {
        words: evidence.map(({ p }) => (p === undefined ? "" : p < 0.001 ? "< 0.001" : significant(p, 2))),
      },
    },
    { title: "", cells: { words: evidence.map(({ passed }) => (passed ? "met" : "missed")) } },
    { title: "remark", cells: { prose: evidence.map(({ remark = "" }) => remark) } },
    { title: "source", cells: { prose: evidence.map(({ source }) => source) } },
  ]);
}

function notAskedTable(notAsked: readonly UnansweredTest[]) {
  if (notAsked.length === 0) return undefined;
  const table = columnTable([
    { title: "not asked", cells: { words: notAsked.map(({ test }) => typeset(test)) } },
    { title: "because", cells: { prose: notAsked.map(({ why }) => why) } },
  ]);
  return html`<p></p>${table}`;
}

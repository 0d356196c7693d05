import type { LinearRange, RangeEvidence, RangeLevel } from "../../calibration/linear-range.js";
import type { DisplayBundle } from "../../display.js";
import { rangeChart } from "../chart/range-chart.js";
import { html } from "../text/markup.js";
import { fixed, quantity, signed, significant, trimmed } from "../text/numbers.js";
import { typeset } from "../text/typeset.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

/** The plateau of the response factors, what each level says and the evidence for the range. */
export function linearRangeView(range: LinearRange): Promise<DisplayBundle> {
  const { levels, evidence } = range;
  return chartAmongWords(
    String(range),
    rangeChart(range, allowedDeviation(evidence)),
    (chart) => html`<p><strong>${verdict(range)}</strong></p>
<div class="scroll">${chart}</div>
<p class="note">Filled: accepted levels; rings: levels set aside; band: the allowed plateau over the range. Response factor: (mean response − blank)/concentration.</p>
${levelTable(levels)}
<p></p>
${evidenceTable(evidence)}`,
  );
}

function verdict({ accepted, low, high, levels }: LinearRange): string {
  if (!(high >= low)) return "No linear range: not even the middle levels agree.";
  const kept = levels.filter((level) => level.accepted).length;
  const ends = `${trimmed(low, 4)} to ${quantity(trimmed(high, 4), "mg/L")}`;
  return `${accepted ? "Linear" : "Not accepted as linear"} from ${ends}: ${fixed(kept, 0)} of ${fixed(levels.length, 0)} levels.`;
}

/** The largest deviation asked for, %; the study keeps it as evidence. */
function allowedDeviation(evidence: readonly RangeEvidence[]): number {
  return evidence.find(({ test }) => test.startsWith("largest deviation"))?.critical ?? 5;
}

function levelTable(levels: readonly RangeLevel[]) {
  return columnTable([
    {
      title: "level",
      unit: "mg/L",
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
    { title: "source", cells: { prose: evidence.map(({ source }) => source) } },
  ]);
}

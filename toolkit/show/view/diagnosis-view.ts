import type { DisplayBundle } from "../../display.js";
import type { BatchDiagnosis } from "../../water/diagnosis/diagnose-batch.js";
import type { BalanceDiagnosis } from "../../water/diagnosis/diagnosis-types.js";
import { batchDiagnosisChart, DRAWN, diagnosisChart } from "../chart/diagnosis-chart.js";
import { type Content, html } from "../text/markup.js";
import { fixed, quantity, signed, significant } from "../text/numbers.js";
import { typeset, typesetSentence } from "../text/typeset.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

const RING = "Ring: two standard uncertainties around closed charge and measured conductivity.";
const DOTS = "Dots grow with probability; κ/κₘ is computed over measured conductivity.";
const HINT = "Hints what to check: nothing is corrected.";

/** Hypotheses in the plane of charge and conductivity, and in a table with the next measurement of each. */
export function balanceDiagnosisView(diagnosis: BalanceDiagnosis): Promise<DisplayBundle> {
  const { raised, reported, sample, hypotheses, unexplained, measured } = diagnosis;
  const of = sample === "" ? "this water" : sample;
  const verdict = raised
    ? `Something in ${of} does not fit${hypotheses.length > 0 ? `: ${hypotheses[0].cause} is the likeliest of what could be wrong` : ""}.`
    : `No fault is raised in ${of}.`;
  const besides =
    unexplained > 0.01 ? ` Two faults at once, or one that is not in the list: ${percent(unexplained)}.` : "";
  return chartAmongWords(
    String(diagnosis),
    diagnosisChart(diagnosis),
    (
      chart,
    ) => html`<p><strong>${verdict}</strong> ${standingWords(diagnosis)} Nothing wrong: ${percent(reported.probability)}.${besides}</p>
<div class="scroll">${chart}</div>
${raised && hypotheses.length > 0 && hypothesisTable(diagnosis)}
<p class="note">${measured.conductivity === undefined ? "Bars: two standard uncertainties." : RING} ${raised && measured.conductivity !== undefined && DOTS} ${HINT}</p>`,
  );
}

/** The waters of a batch in the same plane, and what is likeliest in each that does not fit. */
export function batchDiagnosisView(batch: BatchDiagnosis): Promise<DisplayBundle> {
  const { waters, raised } = batch;
  const count = `${raised.length === 0 ? "None" : raised.length} of ${waters.length} waters ${raised.length === 1 ? "does" : "do"} not fit`;
  const first = raised.map((each) => each.hypotheses[0]);
  const table = columnTable([
    { title: "sample", cells: { words: raised.map(({ sample }) => sample) } },
    {
      title: "difference",
      unit: "%",
      cells: { numbers: raised.map(({ reported }) => signed(reported.percentDifference, 1)) },
    },
    {
      title: "κ/κₘ",
      unit: "%",
      cells: { numbers: raised.map(({ reported }) => ratio(reported.conductivityRatio)) },
    },
    { title: "first suspect", cells: { prose: first.map((each) => each?.cause ?? "not in the list") } },
    { title: "probability", cells: { words: first.map((each) => (each ? percent(each.probability) : "")) } },
    { title: "change", cells: { prose: first.map((each) => typeset(each?.changeWords ?? "")) } },
    { title: "next", cells: { prose: first.map((each) => each?.next ?? "analyse again") } },
  ]);
  return chartAmongWords(
    String(batch),
    batchDiagnosisChart(waters),
    (
      chart,
    ) => html`<p><strong>${raised.length === 0 ? `All ${waters.length} waters fit` : count}.</strong></p>
<div class="scroll">${chart}</div>
${raised.length > 0 && table}
<p class="note">Bars: two standard uncertainties; κ/κₘ is computed over measured conductivity. ${HINT}</p>`,
  );
}

function standingWords({ reported, measured }: BalanceDiagnosis): Content {
  const { percentDifference, uPercent, conductivityRatio } = reported;
  const charge = `Difference ${quantity(signed(percentDifference, 1), "%")} ± ${quantity(fixed(uPercent, 1), "%")} (standard uncertainty)`;
  if (conductivityRatio === undefined || measured.conductivity === undefined)
    return `${charge}; conductivity was not measured, and charge alone tells few causes apart.`;
  const kappa = quantity(significant(measured.conductivity, 3), "µS/cm");
  return `${charge}; computed conductivity ${quantity(fixed(100 * conductivityRatio, 0), "%")} of ${kappa}.`;
}

function hypothesisTable({ hypotheses }: BalanceDiagnosis): Content {
  const told = hypotheses.slice(0, DRAWN);
  return columnTable([
    { title: "hypothesis", cells: { words: told.map(({ cause }, i) => `${i + 1} ${cause}`) } },
    { title: "probability", cells: { words: told.map(({ probability }) => percent(probability)) } },
    { title: "χ²", cells: { numbers: told.map(({ chiSquared }) => fixed(chiSquared, 1)) } },
    { title: "change", cells: { prose: told.map(({ changeWords }) => typeset(changeWords)) } },
    {
      title: "difference",
      unit: "%",
      cells: { numbers: told.map((each) => signed(each.percentDifference, 1)) },
    },
    {
      title: "κ/κₘ",
      unit: "%",
      cells: { numbers: told.map((each) => ratio(each.conductivityRatio)) },
    },
    { title: "next measurement", cells: { prose: told.map(({ next }) => typesetSentence(next)) } },
  ]);
}

function ratio(value: number | undefined): string {
  return value === undefined ? "" : fixed(100 * value, 0);
}

function percent(probability: number): string {
  if (probability > 0.995) return "over 99 %";
  return probability < 0.01 ? "below 1 %" : `${Math.round(100 * probability)} %`;
}

import type { DisplayBundle } from "../../display.js";
import type { RetentionFit } from "../../separation/fit-retention.js";
import { retentionChart } from "../chart/retention-chart.js";
import { html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity, significant, trimmed } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { counted } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

/** Lines of log k against log c with the readings, their residuals, and the fitted figures with standard errors. */
export function retentionFitView(fit: RetentionFit): Promise<DisplayBundle> {
  const { strengths, converged, reason, warnings } = fit;
  const title = `Retention of ${counted(Object.keys(fit.ions).length, "ion")} from ${counted(fit.runs.length, "run")}, ${trimmed(strengths[0], 3)} to ${quantity(trimmed(strengths[1], 3), "mmol/L")}.`;
  const end = `${converged ? "Converged" : "Did not converge"}: ${reason}.`;
  return chartAmongWords(
    String(fit),
    retentionChart(fit),
    (chart) => html`<p><strong>${title}</strong> ${end}</p>
<p>Hold-up time ${measuredText(fit.holdUpTime)}, dwell time ${measuredText(fit.dwellTime)} <small>(95 %)</small>. ${scatterWords(fit.reducedChiSquared)}</p>
${warnings.length > 0 && html`<ul>${warnings.map((warning) => html`<li>${typesetSentence(warning)}</li>`)}</ul>`}
<div class="scroll">${chart}</div>
<p class="note">Lines: log₁₀ k = a − b·log₁₀ c; points: isocratic runs, placed by the fitted hold-up time. Ramps have no single strength and show below only.</p>
${fitTable(fit)}`,
  );
}

function scatterWords(reduced: number): string {
  if (Number.isNaN(reduced)) return "As many figures as readings: the fit cannot be tested.";
  const size = `χ²/ν = ${significant(reduced, 2)}`;
  return reduced > 1
    ? `The readings scatter more than was said (${size}); the standard errors are widened by its root.`
    : `The readings scatter no more than was said (${size}).`;
}

function fitTable({ ions }: RetentionFit) {
  const [names, fits] = [Object.keys(ions), Object.values(ions)];
  return columnTable([
    { title: "ion", cells: { words: names } },
    { title: "a", cells: { numbers: fits.map(({ a, uA }) => fixed(a, decimalsOf(uA))) } },
    { title: "u(a)", cells: { numbers: fits.map(({ uA }) => significant(uA, 2)) } },
    { title: "b", cells: { numbers: fits.map(({ b, uB }) => fixed(b, decimalsOf(uB))) } },
    { title: "u(b)", cells: { numbers: fits.map(({ uB }) => significant(uB, 2)) } },
    { title: "correlation", cells: { numbers: fits.map(({ correlation }) => fixed(correlation, 3)) } },
    { title: "runs", cells: { numbers: fits.map(({ runs }) => fixed(runs, 0)) } },
  ]);
}

/** Two digits of the standard error. */
function decimalsOf(u: number): number {
  return u > 0 && Number.isFinite(u) ? Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(u)))) : 4;
}

import type { DisplayBundle } from "../../display.js";
import type { FittedPeaks } from "../../peaks/fitting/fit-peaks.js";
import { type MeasuredValue, measured } from "../../uncertainty/measured.js";
import { traceAnchor } from "../page/anchors.js";
import { type Content, html } from "../text/markup.js";
import { fixed, significant } from "../text/numbers.js";
import { readFit } from "../trace/read-fit.js";
import { columnTable } from "./column-table.js";
import { correlationTable, strongCorrelations } from "./correlation-table.js";
import { drawnBundle } from "./drawn-bundle.js";
import { diagnosticWords, howItEnded, warningWords } from "./fit-words.js";

/** A fit: record, components, background and residual; peaks, correlations and diagnostics below. */
export function fittedPeaksView(fit: FittedPeaks): Promise<DisplayBundle> {
  return drawnBundle(readFit(fit), {
    text: [String(fit), ...diagnosticWords(fit), ...warningWords(fit)].join("\n"),
    id: traceAnchor(`${fit.chromatogram.id} fit ${fit.from}`),
    caption: html`<strong>Fit of ${fit.chromatogram.id}</strong>`,
    description: `Fit of ${fit.chromatogram.id}: ${howItEnded(fit)}`,
    body: fitBody(fit),
  });
}

/** What stands below the picture of a fit. */
export function fitBody(fit: FittedPeaks): Content {
  const warnings = warningWords(fit);
  const list = warnings.length > 0 && html`<ul>${warnings.map((each) => html`<li>${each}</li>`)}</ul>`;
  return html`<p>${fit.converged ? howItEnded(fit) : html`<strong>${howItEnded(fit)}</strong>`}</p>
${list}
${peakTable(fit)}
<p>${diagnosticWords(fit).join(" ")}</p>
<p>${strongCorrelations(fit, fit.unseenTails)}</p>
<details><summary>correlations of all parameters</summary>${correlationTable(fit)}</details>
<p class="note">Uncertainties: 95 %, from the scatter of the residuals (record − fit). A areas, μ centres, σ widths, τ tails, b background and b′ its slope${fit.peaks.some(({ q }) => q !== undefined) && ", q overload"}${fit.peaks.some(({ alpha }) => alpha !== undefined) && ", α skew"}.</p>`;
}

/** One row a peak: apex, area, height, σ and τ with what the covariance says of them. */
function peakTable(fit: FittedPeaks): Content {
  const { peaks, chromatogram } = fit;
  const withTails = peaks.some(({ tau }) => tau !== 0);
  return columnTable([
    { title: "peak", cells: { words: peaks.map((_, k) => String(k + 1)) } },
    { title: "apex", unit: "min", cells: { numbers: peaks.map((peak) => fixed(peak.retentionTime, 3)) } },
    { title: "area", unit: peaks[0]?.area.unit ?? "", cells: { measured: peaks.map(({ area }) => area) } },
    {
      title: "height",
      unit: chromatogram.signalUnit,
      cells: { numbers: peaks.map(({ height }) => significant(height, 3)) },
    },
    {
      title: "σ",
      unit: "min",
      cells: { measured: peaks.map(({ sigma }, k) => estimate(fit, "sigma", k, sigma)) },
    },
    {
      title: "τ",
      unit: "min",
      cells: {
        measured: peaks.map(({ tau }, k) => (withTails ? estimate(fit, "tau", k, tau) : undefined)),
      },
    },
  ]);
}

/** A width with the uncertainty that stands in the covariance under its own number or, shared, under its name alone. */
function estimate(fit: FittedPeaks, name: string, k: number, value: number): MeasuredValue {
  const own = fit.parameters.indexOf(`${name} ${k + 1}`);
  const at = own >= 0 ? own : fit.parameters.indexOf(name);
  const u = at >= 0 ? Math.sqrt(Math.max(fit.covariance[at][at], 0)) : 0;
  return measured(value, "min", { u }, { dof: fit.dof });
}

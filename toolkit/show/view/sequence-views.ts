import type { Bracketing } from "../../calibration/sequence/bracketing.js";
import type { InternalStandardStudy } from "../../calibration/sequence/internal-standard.js";
import type { ResponseDrift } from "../../calibration/sequence/response-drift.js";
import type { DisplayBundle } from "../../display.js";
import { sequenceChart } from "../chart/sequence-chart.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { html } from "../text/markup.js";
import { fixed, signed, significant } from "../text/numbers.js";
import { sentenceCase } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

const PLACE = "place in the run";

/** The response factor over the checks, its trend and its limits. */
export function driftView(drift: ResponseDrift): Promise<DisplayBundle> {
  const { checks, meanFactor, intercept, slope, limitPercent, ion, p, source, verdict } = drift;
  const ends = [checks[0], checks[checks.length - 1]];
  const spec = sequenceChart({
    points: checks.map(({ position, deviationPercent, label }) => ({
      position,
      value: deviationPercent,
      passed: Math.abs(deviationPercent) <= limitPercent,
      ...(label !== undefined && { label }),
    })),
    line: ends.map(({ position }) => ({
      position,
      value: 100 * ((intercept + slope * position) / meanFactor - 1),
    })),
    limits: [-limitPercent, limitPercent],
    title: "response factor against the mean / %",
    positionTitle: PLACE,
    color: COLORS[ionColor(ion ?? "")].fill,
  });
  const chance = p < 0.001 ? "p < 0.001" : `p = ${significant(p, 2)}`;
  return chartAmongWords(
    String(drift),
    spec,
    (
      chart,
    ) => html`<p><strong>Response${ion !== undefined && ` of ${ion}`}: ${verdict}.</strong> ${signed(drift.changePercent, 1)} % along the line from the first check to the last, t ${fixed(drift.statistic, 2)} against ${fixed(drift.critical, 2)} (${chance}); relative standard deviation of the factors ${significant(drift.rsdPercent, 2)} %, limit ${significant(limitPercent, 2)} %.</p>
<div class="scroll">${chart}</div><p class="note">${sentenceCase(source)}.</p>`,
  );
}

/** Response factors joined from check to check, and the samples between them. */
export function bracketingView(bracketing: Bracketing): Promise<DisplayBundle> {
  const { checks, samples, ion, unit, limitPercent, source } = bracketing;
  const spec = sequenceChart({
    points: checks.map(({ position, factor, label }) => ({
      position,
      value: factor,
      passed: true,
      ...(label !== undefined && { label }),
    })),
    line: checks.map(({ position, factor }) => ({ position, value: factor })),
    limits: [],
    title: `response per ${unit}`,
    positionTitle: PLACE,
    color: COLORS[ionColor(ion ?? "")].fill,
  });
  const table = columnTable([
    { title: "sample", cells: { words: samples.map(({ label }) => label) } },
    { title: ion ?? "content", unit, cells: { measured: samples.map(({ concentration }) => concentration) } },
    {
      title: "by the check before alone",
      unit,
      cells: { numbers: samples.map(({ uncorrected }) => significant(uncorrected, 4)) },
    },
    { title: "between", cells: { words: samples.map(({ before, after }) => `${before}, ${after}`) } },
    {
      title: "checks differ by",
      unit: "%",
      cells: { numbers: samples.map(({ changePercent }) => signed(changePercent, 1)) },
    },
    {
      title: "",
      cells: {
        words: samples.map(({ passed }) =>
          passed ? "✓ passed" : `▲ beyond ${limitPercent} %: inject again`,
        ),
      },
    },
  ]);
  return chartAmongWords(
    String(bracketing),
    spec,
    (
      chart,
    ) => html`<p><strong>Samples between check standards${ion !== undefined && `, ${ion}`}.</strong> The response factor is interpolated from check to check.</p>
<div class="scroll">${chart}</div>${table}<p class="note">${sentenceCase(source)}.</p>`,
  );
}

/** Recovery of the internal standard over the run, and the results by the ratio. */
export function internalStandardView(study: InternalStandardStudy): Promise<DisplayBundle> {
  const {
    ion,
    internalStandard: name,
    recoveries,
    recoveryPercent,
    samples,
    scatterPercent,
    useful,
    drift,
  } = study;
  const spec = sequenceChart({
    points: recoveries.map(({ percent, passed, label }, i) => ({
      position: i + 1,
      value: percent,
      passed,
      label,
    })),
    line: [1, recoveries.length].map((position) => ({ position, value: 100 })),
    limits: recoveryPercent,
    title: `recovery of ${name} / %`,
    positionTitle: PLACE,
    color: COLORS[ionColor(ion ?? "")].fill,
  });
  const worth = useful
    ? "The internal standard earns its place"
    : "The internal standard does not earn its place";
  const table = columnTable([
    { title: "sample", cells: { words: samples.map(({ label }) => label) } },
    {
      title: ion ?? "content",
      unit: study.curve.unit,
      cells: { measured: samples.map(({ concentration }) => concentration) },
    },
    {
      title: "",
      cells: { words: samples.map(({ flagged }) => (flagged ? "▲ recovery out of limits" : "✓ passed")) },
    },
  ]);
  return chartAmongWords(
    String(study),
    spec,
    (
      chart,
    ) => html`<p><strong>${worth}:</strong> the ratio of the standards scatters by ${significant(scatterPercent.ratio, 2)} %, the response alone by ${significant(scatterPercent.response, 2)} %.${drift && ` Over the run ${name} is ${drift.verdict === "steady" ? "steady" : `not steady: it ${drift.verdict}`}.`}</p>
<div class="scroll">${chart}</div>${samples.length > 0 && table}<p class="note">${sentenceCase(study.source)}.</p>`,
  );
}

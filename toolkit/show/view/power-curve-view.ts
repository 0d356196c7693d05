import type { DisplayBundle } from "../../display.js";
import type { PowerCurve } from "../../limits/power-curve.js";
import { powerChart } from "../chart/power-chart.js";
import { html } from "../text/markup.js";
import { fixed, limitText, quantity, significant } from "../text/numbers.js";
import { sentenceCase } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

/** Contents worth a line of their own, as multiples of the detection limit. */
const MULTIPLES = [0, 0.25, 0.5, 0.75, 1, 1.5, 2];

/** The curve with its marks, and the same as a short table. */
export function powerCurveView(curve: PowerCurve): Promise<DisplayBundle> {
  const { unit, detectionLimit, dof, relative, standardDeviation } = curve;
  const rows = MULTIPLES.map((multiple) => curve.at(multiple * detectionLimit));
  const percent = (share: number) => fixed(100 * share, 1);
  const scatter = relative > 0 ? `√(s² + (${significant(relative, 2)}·c)²), s = ` : "s = ";
  const known = dof === Infinity ? "taken as known" : `from ${fixed(dof, 0)} degrees of freedom`;
  return chartAmongWords(
    String(curve),
    powerChart(curve),
    (chart) => html`<p><strong>${sentenceCase(String(curve))}.</strong></p>
<div class="scroll">${chart}</div>
<p class="note">Scatter ${scatter}${quantity(significant(standardDeviation, 3), unit)}, ${known}. Band: what that leaves open (95 %).</p>
${columnTable([
  {
    title: "content",
    unit,
    cells: { words: rows.map(({ concentration }) => (concentration === 0 ? "0" : limitText(concentration))) },
  },
  { title: "detected", unit: "%", cells: { numbers: rows.map(({ probability }) => percent(probability)) } },
  {
    title: "at least",
    unit: "%",
    cells: { numbers: rows.map(({ low, high }) => percent(Math.min(low, high))) },
  },
  {
    title: "at most",
    unit: "%",
    cells: { numbers: rows.map(({ low, high }) => percent(Math.max(low, high))) },
  },
])}`,
  );
}

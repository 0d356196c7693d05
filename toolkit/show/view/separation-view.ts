import type { DisplayBundle } from "../../display.js";
import type { Separation } from "../../separation/separation.js";
import { separationChart } from "../chart/separation-chart.js";
import { html } from "../text/markup.js";
import { fixed, quantity } from "../text/numbers.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

/** Width at half height of a Gaussian over its standard deviation. */
const HALF_WIDTH = 2.3548;

/** A planned separation: where every ion leaves the column, how wide, and the pair that is worst. */
export function separationView(separation: Separation): Promise<DisplayBundle> {
  const { peaks, worst, end } = separation;
  const drawn = columnTable([
    { title: "ion", cells: { words: peaks.map(({ ion }) => ion) } },
    {
      title: "retention time",
      unit: "min",
      cells: { numbers: peaks.map((peak) => fixed(peak.retentionTime, 2)) },
    },
    {
      title: "half-height width",
      unit: "s",
      cells: { numbers: peaks.map(({ sigma }) => fixed(60 * HALF_WIDTH * sigma, 1)) },
    },
    {
      title: "eluent at exit",
      unit: "mmol/L",
      cells: { numbers: peaks.map((peak) => fixed(peak.exitConcentration, 1)) },
    },
    {
      title: "resolution to the next",
      cells: {
        numbers: peaks.map(({ resolutionNext }) =>
          resolutionNext === undefined ? "" : fixed(resolutionNext, 2),
        ),
      },
    },
  ]);
  const heading = worst
    ? `Worst pair: ${worst.first} and ${worst.second}, resolution ${fixed(worst.resolution, 2)}.`
    : "A single ion.";
  return chartAmongWords(
    String(separation),
    separationChart(separation),
    (
      chart,
    ) => html`<p><strong>${heading}</strong> The last peak has left at ${quantity(fixed(end, 1), "min")}.</p>
<div class="scroll">${chart}</div>
${drawn}
<p class="note">Predicted, drawn Gaussian and with equal areas: at trace load. Overloaded or tailing peaks come earlier and separate worse.</p>`,
  );
}

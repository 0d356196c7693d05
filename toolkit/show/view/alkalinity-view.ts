import type { DisplayBundle } from "../../display.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import type { CarbonateSystem } from "../../water/alkalinity/carbonate-system.js";
import type { GranAlkalinity } from "../../water/alkalinity/gran-alkalinity.js";
import { granChart } from "../chart/gran-chart.js";
import { html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity, significant } from "../text/numbers.js";
import { sentenceCase } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";
import { htmlBlock } from "./html-block.js";

/** A Gran titration: the line with its readings, the alkalinity in both units, what to look at. */
export function granAlkalinityView(gran: GranAlkalinity): Promise<DisplayBundle> {
  const { alkalinity, alkalinityAsCaCO3, equivalenceVolume, points, residualPH, slopeRatio, warnings } = gran;
  const used = points.filter((point) => point.used).length;
  return chartAmongWords(
    String(gran),
    granChart(gran),
    (
      chart,
    ) => html`<p><strong>Alkalinity ${measuredText(alkalinity)}, ${measuredText(alkalinityAsCaCO3)}.</strong> Equivalence volume ${measuredText(equivalenceVolume)}, from ${String(used)} of ${String(points.length)} readings (filled); the line is drawn back to zero free acid.</p>
<div class="scroll">${chart}</div>
<p class="note">Scatter about the line ${significant(residualPH, 2)} in pH; slope ${fixed(slopeRatio, 2)} of the acid's concentration (0.75 to 1.1 is usual).</p>
${warnings.map((warning) => html`<p>▲ ${sentenceCase(warning)}.</p>`)}`,
  );
}

/** Carbonate of a water as a table. */
export function carbonateSystemView(system: CarbonateSystem): DisplayBundle {
  const rows: readonly (readonly [string, MeasuredValue])[] = [
    ["alkalinity", system.alkalinity],
    ["alkalinity", system.alkalinityAsCaCO3],
    ["hydrogencarbonate", system.hydrogencarbonate],
    ["carbonate", system.carbonate],
    ["carbonic acid", system.carbonicAcid],
    ["inorganic carbon", system.inorganicCarbon],
    ["pressure of carbon dioxide", system.carbonDioxidePressure],
  ];
  const { pH, temperature, ionicStrength } = system;
  const words = (value: MeasuredValue): string =>
    value.u > 0 ? measuredText(value) : quantity(significant(value.value, 4), value.unit);
  return {
    "text/plain": String(system),
    "text/html": htmlBlock(
      html`<p><strong>Carbonate at pH ${pH.u > 0 ? measuredText(pH) : String(pH.value)}</strong>, ${quantity(String(temperature), "°C")}, ionic strength ${quantity(String(ionicStrength), "mol/L")}.</p>
${columnTable([
  { title: "", cells: { words: rows.map(([name]) => name) } },
  { title: "found", cells: { words: rows.map(([, value]) => words(value)) } },
])}
<p class="note">Alkalinity of carbonate and water alone. Carbonic acid: dissolved carbon dioxide and H₂CO₃ together.</p>`,
    ),
  };
}

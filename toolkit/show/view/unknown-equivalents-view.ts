import type { DisplayBundle } from "../../display.js";
import type { UnknownEquivalents } from "../../water/unknowns/unknown-equivalents.js";
import { intervalRowsChart } from "../chart/interval-rows.js";
import { INK } from "../chart/spec.js";
import { html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { budgetTable } from "./budget-table.js";
import { chartAmongWords } from "./chart-bundle.js";

/** Charge of an unidentified ion, what each reference alone would give, and the budget. */
export function unknownEquivalentsView(found: UnknownEquivalents): Promise<DisplayBundle> {
  const { microequivalents, byReference, classUncertainty, note } = found;
  const { low, high } = microequivalents.interval();
  const rows = [
    { name: "taken", value: microequivalents.value, low, high, color: INK.ink },
    ...byReference.map(({ ion, microequivalents: value }) => {
      return { name: `by ${ion} alone`, value, low: value, high: value, color: INK.soft, open: true };
    }),
  ];
  return chartAmongWords(
    String(found),
    intervalRowsChart(rows, { title: "charge as injected / (µeq/L)" }),
    (
      chart,
    ) => html`<p><strong>${measuredText(microequivalents)} as injected</strong>, taken for ${found.class.replace(/^any /, "an unknown ")}.</p>
<p>${typesetSentence(note)} Not knowing the ion alone makes ${quantity(fixed(100 * classUncertainty, 1), "%")} (standard uncertainty).</p>
<div class="scroll">${chart}</div>
${budgetTable(microequivalents)}
<p class="note">Bar: 95 %.</p>`,
  );
}

import type { DisplayBundle } from "../../display.js";
import type { UnknownEquivalents } from "../../water/unknowns/unknown-equivalents.js";
import { intervalRowsChart } from "../chart/interval-rows.js";
import { INK } from "../chart/spec.js";
import { type Content, html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity } from "../text/numbers.js";
import { budgetTable } from "./budget-table.js";
import { chartAmongWords } from "./chart-bundle.js";

/** Charge of an unidentified ion, what each reference alone would give, what a weak acid would hide, and the budget. */
export function unknownEquivalentsView(found: UnknownEquivalents): Promise<DisplayBundle> {
  const { microequivalents, byReference, classUncertainty, slopeRatio, lowerBound, weakAcid } = found;
  const { low, high } = found.interval();
  const rows = [
    { name: "taken", value: microequivalents.value, low, high, color: INK.ink },
    ...byReference.map(({ ion, microequivalents: value }) => {
      return { name: `by ${ion} alone`, value, low: value, high: value, color: INK.soft, open: true };
    }),
  ];
  const bend = slopeRatio < 0.995 && `, the response there being ${fixed(slopeRatio, 2)} of the full one`;
  return chartAmongWords(
    String(found),
    intervalRowsChart(rows, { title: "charge as injected / (µeq/L)" }),
    (
      chart,
    ) => html`<p><strong>${lowerBound && "≥ "}${measuredText(microequivalents)} as injected</strong>, taken for ${found.class.replace(/^any /, "an unknown ")}.</p>
${lowerBound && weakWords(weakAcid)}
<p>Not knowing the ion alone makes ${quantity(fixed(100 * classUncertainty, 1), "%")} (standard uncertainty)${bend}.</p>
<div class="scroll">${chart}</div>
${budgetTable(microequivalents)}
<p class="note">Bar: 95 %.</p>`,
  );
}

function weakWords(weakAcid: UnknownEquivalents["weakAcid"]): Content {
  if (weakAcid.length === 0)
    return html`<p>Counted as fully dissociated: of a weak acid or base this is a lower bound.</p>`;
  const factors = weakAcid.map(
    ({ pKa, factor }) => `${Number(factor.toPrecision(3))} times as much at pKa ${pKa}`,
  );
  return html`<p>Counted as fully dissociated. Of a weak acid there would be more: ${factors.join(", ")}.</p>`;
}

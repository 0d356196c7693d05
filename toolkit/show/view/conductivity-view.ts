import type { DisplayBundle } from "../../display.js";
import type { ComputedForm, ConductivityComparison } from "../../water/conductivity/compare-conductivity.js";
import { type IntervalRow, intervalRowsChart } from "../chart/interval-rows.js";
import { INK } from "../chart/spec.js";
import { html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity, signed, significant } from "../text/numbers.js";
import { typeset } from "../text/typeset.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

/** Computed and measured conductivity with their intervals, what every form gives, and what each criterion says. */
export function conductivityView(comparison: ConductivityComparison): Promise<DisplayBundle> {
  const { computed, measured, percentDifference, normalizedDifference, ionPairs, passed, forms, criteria } =
    comparison;
  const others = forms.filter(({ form, ionPairs: paired }) => form !== "onsager" || paired !== ionPairs);
  const rows: readonly IntervalRow[] = [
    { name: "measured", value: measured.value, ...ends(measured), color: INK.ink },
    { name: "computed", value: computed.value, ...ends(computed), color: INK.ink },
    ...others.map((each) => {
      const value = each.computed;
      return { name: formName(each), value, low: value, high: value, color: INK.soft, open: true };
    }),
  ];
  const chart = intervalRowsChart(rows, {
    title: "conductivity at 25 °C / (µS/cm)",
    lines: [{ at: measured.value, name: "measured" }],
  });
  const judged = criteria.map(
    (each) =>
      html`<tr><th scope="row" class="text">${each.source}</th><td class="text">${typeset(each.limit)}</td><td class="num">${significant(each.found, 3)}</td><td>${each.passed ? "met" : "missed"}</td></tr>\n`,
  );
  return chartAmongWords(
    String(comparison),
    chart,
    (
      drawn,
    ) => html`<p><strong>${passed ? "Computed and measured conductivity agree." : "Computed and measured conductivity do not agree."}</strong> Computed ${measuredText(computed)}${ionPairs && " with ion pairs"}, measured ${measuredText(measured)}: difference ${measuredText(percentDifference)}, ${quantity(fixed(Math.abs(normalizedDifference), 1), "times its standard uncertainty")}.</p>
<div class="scroll">${drawn}</div>
<p class="note">Bars: 95 %. Rings: the same ions by other forms. Ionic strength ${quantity(significant(comparison.ionicStrength, 2), "mol/L")}.</p>
${columnTable([
  { title: "form", cells: { words: forms.map(formName) } },
  {
    title: "computed",
    unit: "µS/cm",
    cells: { numbers: forms.map((each) => significant(each.computed, 4)) },
  },
  {
    title: "against measured",
    unit: "%",
    cells: { numbers: forms.map((each) => signed(each.percentDifference, 1)) },
  },
])}
${judged.length > 0 && html`<div class="scroll"><table><thead><tr><th>criterion</th><th>limit</th><th class="num">found</th><th>this water</th></tr></thead><tbody>${judged}</tbody></table></div>`}
<p class="note">Agreement proves neither accuracy nor that the water may be drunk.</p>`,
  );
}

function ends(value: { interval(): { readonly low: number; readonly high: number } }) {
  const { low, high } = value.interval();
  return { low, high };
}

function formName({ form, ionPairs }: ComputedForm): string {
  if (form === "limiting") return "infinite dilution";
  const name = form === "onsager" ? "Onsager" : "Standard Methods";
  return ionPairs ? `${name}, with ion pairs` : name;
}

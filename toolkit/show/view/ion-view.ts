import type { DisplayBundle } from "../../display.js";
import type { Ion } from "../../ions/ion-table.js";
import { html } from "../text/markup.js";
import { fixed, signed, trimmed } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { sentenceCase } from "../text/words.js";
import { columnTable } from "./column-table.js";
import { htmlBlock } from "./html-block.js";

/** What the ion table holds of an ion, each with its unit and source. */
export function ionView(ion: Ion): DisplayBundle {
  const { name, formulaText, charge, molarMass, limitingMolarConductivity, acidConstants = [] } = ion;
  const rows: readonly (readonly [string, string, string])[] = [
    ["charge", signed(charge, 0), ""],
    ["molar mass", fixed(molarMass, 3), "g/mol"],
    ...(limitingMolarConductivity === undefined
      ? []
      : ([
          ["limiting molar conductivity, 25 °C", trimmed(limitingMolarConductivity, 5), "S·cm²/mol"],
        ] as const)),
    ...acidConstants.map((pKa, index) => [`pKa ${index + 1}, 25 °C`, fixed(pKa, 2), ""] as const),
  ];
  const drawn = columnTable([
    { title: "property", cells: { words: rows.map(([what]) => what) } },
    { title: "value", cells: { numbers: rows.map(([, value]) => value) } },
    { title: "unit", cells: { words: rows.map(([, , unit]) => unit) } },
  ]);
  return {
    "text/plain": String(ion),
    "text/html": htmlBlock(html`<p><strong>${sentenceCase(name)}</strong> ${formulaText}</p>
${drawn}
${ion.notes.map((note) => html`<p>${typesetSentence(note)}</p>`)}
${sourceNote(ion)}`),
  };
}

function sourceNote(ion: Ion) {
  const sources = [...new Set(Object.values(ion.sources))];
  return sources.length > 0 && html`<p class="note">Sources: ${sources.join("; ")}.</p>`;
}

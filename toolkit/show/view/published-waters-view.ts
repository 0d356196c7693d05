import type { DisplayBundle } from "../../display.js";
import type { PublishedWater } from "../../water/published/published-row.js";
import type { PublishedWaters } from "../../water/published/published-waters.js";
import { ionFormula } from "../text/ion-names.js";
import { html } from "../text/markup.js";
import { fixed, trimmed } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { type Column, columnTable } from "./column-table.js";
import { htmlBlock } from "./html-block.js";

/** As many rows show what a table is like; the rest is counted. */
const SHOWN = 12;

/** A published table: its origin, its first analyses in mg/L with bounds and gaps, and what each column means. */
export function publishedWatersView(found: PublishedWaters): DisplayBundle {
  const { title, source, licence, waters, columns, undescribed, file } = found;
  const first = waters.slice(0, SHOWN);
  const more = waters.length - first.length;
  const body = html`<p><strong>${title}.</strong> ${fixed(waters.length, 0)} analyses, concentrations in mg/L of the ion; &lt; below a limit, blank not determined.</p>
${columnTable([...aboutColumns(first), ...ionColumns(waters, first)])}
${more > 0 && html`<p class="note">${fixed(more, 0)} more.</p>`}
<p class="note">${typesetSentence(source)} Licence: ${licence}.</p>
<details><summary>Columns of ${file}</summary>
${columnTable([
  { title: "column", cells: { words: columns.map(({ name }) => name) } },
  { title: "meaning", cells: { prose: columns.map(({ meaning }) => meaning) } },
  { title: "read as", cells: { prose: columns.map(({ holds }) => holds ?? "kept as printed") } },
  { title: "unit", cells: { words: columns.map(({ unit }) => unit ?? "") } },
])}
${undescribed.length > 0 && html`<p class="note">Not described: ${undescribed.join(", ")}.</p>`}</details>`;
  return { "text/plain": String(found), "text/html": htmlBlock(body) };
}

function aboutColumns(waters: readonly PublishedWater[]): readonly Column[] {
  const number = (of: (water: PublishedWater) => number | undefined) =>
    waters.map((water) => {
      const value = of(water);
      return value === undefined ? "" : trimmed(value, 4);
    });
  const dated = waters.some(({ sample, date }) => date !== undefined && date !== sample);
  return [
    { title: "sample", cells: { words: waters.map(({ sample }) => sample) } },
    { title: "date", cells: { words: waters.map(({ date }) => (dated ? (date ?? "") : "")) } },
    { title: "pH", cells: { numbers: number(({ pH }) => pH) } },
    {
      title: "conductivity",
      unit: "µS/cm",
      cells: { numbers: number(({ conductivity }) => conductivity?.value) },
    },
    {
      title: "alkalinity as CaCO₃",
      unit: "mg/L",
      cells: { numbers: number(({ alkalinity }) => alkalinity) },
    },
  ];
}

function ionColumns(all: readonly PublishedWater[], shown: readonly PublishedWater[]): readonly Column[] {
  const names = [
    ...new Set(all.flatMap(({ concentrations, below }) => Object.keys({ ...concentrations, ...below }))),
  ];
  return names.map((name) => ({
    title: ionFormula(name) ?? name,
    cells: {
      numbers: shown.map(({ concentrations, below }) => {
        if (name in concentrations) return contentText(concentrations[name]);
        return name in below ? `< ${contentText(below[name])}` : "";
      }),
    },
  }));
}

/** No more digits than tables print: three figures, whole numbers whole. */
function contentText(value: number): string {
  return trimmed(value, value >= 1000 ? 5 : 3);
}

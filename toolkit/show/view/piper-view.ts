import type { DisplayBundle } from "../../display.js";
import type { PiperDiagram } from "../../water/diagrams/piper-diagram.js";
import { piperChart } from "../chart/piper-chart.js";
import { html } from "../text/markup.js";
import { table, tableMarkup } from "../writing/table.js";
import { chartAmongWords } from "./chart-bundle.js";
import { diagramWords } from "./diagram-words.js";

/** A Piper diagram, what to know of it, and its numbers unfolded on demand. */
export function piperView(diagram: PiperDiagram): Promise<DisplayBundle> {
  const { points, level, ellipses, groups, title } = diagram;
  const drawn = points.some(({ cations, anions }) =>
    [cations, anions].some((place) => place?.ellipse.length),
  );
  const caption = [
    "Parts of the charge of the cations (left) and of the anions (right), %; both meet in the diamond.",
    ...(ellipses && drawn ? [`Ellipses: joint coverage ${(100 * level).toFixed(0)} %.`] : []),
  ];
  const rows = points.map(({ name, group, cationPercent: c, anionPercent: a, type }) => ({
    water: name,
    ...(groups.length > 0 ? { group } : {}),
    calcium: c?.calcium,
    magnesium: c?.magnesium,
    "sodium + potassium": c?.sodiumPotassium,
    hydrogencarbonate: a?.hydrogencarbonate,
    sulfate: a?.sulfate,
    "chloride group": a?.chloride,
    type: type ?? "incomplete",
  }));
  return chartAmongWords(
    String(diagram),
    piperChart(diagram),
    (chart) => html`${title !== "" && html`<p><strong>${title}</strong></p>`}
<div class="scroll">${chart}</div>
${diagramWords([...caption, ...diagram.notes])}
<details><summary>Parts of the charge</summary>${tableMarkup(table(rows))}</details>`,
  );
}

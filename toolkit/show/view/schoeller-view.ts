import type { DisplayBundle } from "../../display.js";
import type { SchoellerDiagram } from "../../water/diagrams/schoeller-diagram.js";
import { schoellerChart } from "../chart/schoeller-chart.js";
import { html } from "../text/markup.js";
import { chartAmongWords } from "./chart-bundle.js";
import { diagramWords } from "./diagram-words.js";

/** Schoeller lines, and what to know of them. */
export function schoellerView(diagram: SchoellerDiagram): Promise<DisplayBundle> {
  const { title, lines, notes } = diagram;
  const uncertain = lines.some(({ points }) => points.some(({ milliequivalents }) => milliequivalents?.u));
  const caption = [
    "Waters that are dilutions of each other run parallel.",
    ...(uncertain ? ["Bars: expanded uncertainty, 95 %, where longer than the symbol."] : []),
  ];
  return chartAmongWords(
    String(diagram),
    schoellerChart(diagram),
    (chart) => html`${title !== "" && html`<p><strong>${title}</strong></p>`}
<div class="scroll">${chart}</div>
${diagramWords([...caption, ...notes])}`,
  );
}

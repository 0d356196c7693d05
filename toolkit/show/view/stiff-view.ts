import type { DisplayBundle } from "../../display.js";
import type { StiffDiagram } from "../../water/diagrams/stiff-diagram.js";
import { stiffChart } from "../chart/stiff-chart.js";
import { html } from "../text/markup.js";
import { chartAmongWords } from "./chart-bundle.js";
import { diagramWords } from "./diagram-words.js";

/** Stiff polygons, and what to know of them. */
export function stiffView(diagram: StiffDiagram): Promise<DisplayBundle> {
  const { title, polygons, notes } = diagram;
  const uncertain = polygons.some(({ vertices }) =>
    vertices.some(({ milliequivalents }) => milliequivalents?.u),
  );
  const caption = uncertain
    ? ["Bars: expanded uncertainty, 95 %; left out where shorter than the line is wide."]
    : [];
  return chartAmongWords(
    String(diagram),
    stiffChart(diagram),
    (chart) => html`${title !== "" && html`<p><strong>${title}</strong></p>`}
<div class="scroll">${chart}</div>
${diagramWords([...caption, ...notes])}`,
  );
}

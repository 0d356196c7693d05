import type { DisplayBundle } from "../../display.js";
import type { PiperDiagram } from "../../water/diagrams/piper-diagram.js";
import { piperChart } from "../chart/piper-chart.js";
import { html } from "../text/markup.js";
import { piperSentences, piperTable } from "../writing/piper-words.js";
import { tableMarkup } from "../writing/table.js";
import { chartAmongWords } from "./chart-bundle.js";
import { diagramWords } from "./diagram-words.js";

/** A Piper diagram, what to know of it, and its numbers unfolded on demand. */
export function piperView(diagram: PiperDiagram): Promise<DisplayBundle> {
  return chartAmongWords(
    String(diagram),
    piperChart(diagram),
    (chart) => html`${diagram.title !== "" && html`<p><strong>${diagram.title}</strong></p>`}
<div class="scroll">${chart}</div>
${diagramWords(piperSentences(diagram))}
<details><summary>Parts of the charge</summary>${tableMarkup(piperTable(diagram))}</details>`,
  );
}

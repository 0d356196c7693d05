import type { Results } from "../../batch/types.js";
import { IonbookError } from "../../errors.js";
import { type PiperDiagram, piperDiagram } from "../../water/diagrams/piper-diagram.js";
import { piperChart } from "../chart/piper-chart.js";
import { renderSvg, svgForPage } from "../chart/render-svg.js";
import { type Content, html, Markup } from "../text/markup.js";
import { typesetSentence } from "../text/typeset.js";
import { piperSentences, piperTable } from "../writing/piper-words.js";
import { tableMarkup } from "../writing/table.js";
import type { PageSection } from "./page-shell.js";

/** Inner width for wide windows and for telephones, px. */
const SIZES = [
  ["broad", 640],
  ["narrow", 340],
] as const;

/** One water alone compares with nothing. */
const FEWEST_WATERS = 2;

/** The waters by the shares of their ions; undefined where fewer than two have a place in both triangles. */
export async function waterTypeSection(results: Results): Promise<PageSection | undefined> {
  const diagram = drawable(results);
  const placed = diagram?.points.filter(({ diamond }) => diamond !== undefined) ?? [];
  if (diagram === undefined || placed.length < FEWEST_WATERS) return undefined;
  const headline = String(diagram).split("\n")[0];
  const charts: Content[] = [];
  for (const [name, width] of SIZES) {
    const drawn = svgForPage(await renderSvg(piperChart(diagram, width)), `piper-${name}`, headline);
    charts.push(html`<div class="chart wide ${name}">${new Markup(drawn)}</div>\n`);
  }
  return {
    id: "water-types",
    heading: "What kind of water is it?",
    short: "Kinds of water",
    body: html`<p>${typesetSentence(headline)}</p>
${charts}<p class="note">${piperSentences(diagram).map(typesetSentence).join(" ")}</p>
<details><summary>Parts of the charge</summary>${tableMarkup(piperTable(diagram))}</details>`,
  };
}

/** A batch may hold no waters, or none whose ions the diagram needs: then there is nothing to show, and nothing is wrong. */
function drawable(results: Results): PiperDiagram | undefined {
  try {
    return piperDiagram(results);
  } catch (error) {
    if (error instanceof IonbookError && ["no-waters", "nothing-to-draw"].includes(error.code))
      return undefined;
    throw error;
  }
}

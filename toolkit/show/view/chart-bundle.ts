import { createHash } from "node:crypto";
import type { DisplayBundle } from "../../display.js";
import { renderPng } from "../chart/render-png.js";
import { renderSvg, svgForPage } from "../chart/render-svg.js";
import type { ChartSpec } from "../chart/spec.js";
import { type Content, Markup } from "../text/markup.js";
import { htmlBlock } from "./html-block.js";

/**
 * A chart for a notebook: its text, its specification and pictures of it. The PNG is for pages that do not trust a
 * notebook somebody else has run: they refuse SVG.
 */
export async function chartBundle(text: string, spec: ChartSpec): Promise<DisplayBundle> {
  const svg = await renderSvg(spec);
  return {
    "text/plain": text,
    "image/svg+xml": svg,
    "image/png": await renderPng(svg),
    "application/vnd.vegalite.v5+json": spec,
  };
}

/**
 * The same with markup that holds the chart among words: a front end shows one form of a result alone, so the words
 * must bring the picture along.
 *
 * @param body what stands around the chart
 */
export async function chartAmongWords(
  text: string,
  spec: ChartSpec,
  body: (chart: Content) => Content,
): Promise<DisplayBundle> {
  const bundle = await chartBundle(text, spec);
  const svg = String(bundle["image/svg+xml"]);
  // Names inside the drawing must differ from those of other charts, yet be the same whenever the cell runs again.
  const name = `chart-${createHash("sha256").update(svg).digest("hex").slice(0, 8)}`;
  const chart = new Markup(svgForPage(svg, name, text.split("\n")[0]));
  return { ...bundle, "text/html": htmlBlock(body(chart)) };
}

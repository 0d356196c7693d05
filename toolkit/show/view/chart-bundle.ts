import type { DisplayBundle } from "../../display.js";
import { renderPng } from "../chart/render-png.js";
import { renderSvg } from "../chart/render-svg.js";
import type { ChartSpec } from "../chart/spec.js";

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

import type { DisplayBundle } from "../../display.js";
import { renderSvg } from "../chart/render-svg.js";
import type { ChartSpec } from "../chart/spec.js";

/** A chart for a notebook: its text, its specification and a picture of it. */
export async function chartBundle(text: string, spec: ChartSpec): Promise<DisplayBundle> {
  return {
    "text/plain": text,
    "image/svg+xml": await renderSvg(spec),
    "application/vnd.vegalite.v5+json": spec,
  };
}

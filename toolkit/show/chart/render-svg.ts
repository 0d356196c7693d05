import { textWidth } from "../trace/label-places.js";
import { type ChartSpec, INK } from "./spec.js";

/**
 * A specification drawn as SVG text. Vega is loaded on the first call (about a quarter of a second), runs without a
 * canvas, and measures texts by our own table of widths.
 */
export async function renderSvg(spec: ChartSpec): Promise<string> {
  const [vega, vegaLite] = await Promise.all([import("vega"), import("vega-lite")]);
  const metrics = (vega as unknown as { textMetrics: TextMetrics }).textMetrics;
  metrics.width = (item, text) => textWidth(String(text ?? item.text ?? ""), item.fontSize ?? 11);
  const compiled = vegaLite.compile(spec as unknown as Parameters<typeof vegaLite.compile>[0]).spec;
  const view = new vega.View(vega.parse(compiled), { renderer: "none", logLevel: vega.Error });
  try {
    return await view.toSVG();
  } finally {
    view.finalize();
  }
}

/** The part of vega's text measuring that its types leave out. */
interface TextMetrics {
  width: (item: { readonly text?: unknown; readonly fontSize?: number }, text?: string) => number;
}

/**
 * A drawn chart made part of a page: ink and ground follow the reader's light or dark setting, element names do not
 * clash with those of other charts, and screen readers get `description`.
 */
export function svgForPage(svg: string, name: string, description: string): string {
  const label = description.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);
  return svg
    .replace(/\bid="(clip|gradient)/g, `id="${name}-$1`)
    .replace(/url\(#(clip|gradient)/g, `url(#${name}-$1`)
    .replaceAll(`"${INK.paper}"`, '"var(--paper)"')
    .replaceAll(`"${INK.ink}"`, '"var(--ink)"')
    .replaceAll(`"${INK.soft}"`, '"var(--soft)"')
    .replaceAll(`"${INK.hair}"`, '"var(--hair)"')
    .replace(/^<svg /, `<svg role="img" aria-label="${label}" `);
}

import { svgForPage } from "../../show/chart/render-svg.js";
import { INK } from "../../show/chart/spec.js";
import { type Content, escapeHtml, html, Markup } from "../../show/text/markup.js";
import { safeMarkup } from "./safe-markup.js";

const NOTHING: ReadonlySet<string> = new Set();

/** Names, widths and heights of a drawing's outer element. */
interface DrawingSize {
  readonly width: number;
  readonly height: number;
}

/**
 * An SVG drawing of unknown origin as a figure that can be zoomed. A drawing in our own colours follows the reader's
 * light or dark setting; another keeps a white ground. One that brings its own style sheet is embedded as a picture,
 * so that its rules stay its own.
 *
 * @param name Distinguishes the ids of this figure from all others of the page.
 * @param description What a reader who cannot see the drawing is told.
 */
export function chartFigure(svg: string, name: string, description: string): Content {
  const start = svg.search(/<svg[\s>]/i);
  if (start < 0) return html`<p class="note">A drawing was left out: it is no SVG.</p>`;
  const drawing = svg.slice(start);
  const styled = /<style[\s>]/i.test(drawing);
  const own = !styled && drawing.includes(INK.paper);
  const size = sizeOf(drawing);
  const markup = styled ? asPicture(drawing, size) : safeMarkup(drawing, `${name}-`, NOTHING).text;
  const sized = withViewBox(markup, size);
  const ready = own
    ? svgForPage(sized, name, description)
    : sized.replace(/^<svg/, `<svg role="img" aria-label="${escapeHtml(description)}"`);
  return figureOf(ready, name, size, own);
}

/**
 * A chart of ours that stands among the words of an output, already made safe: the same, made to zoom in its place.
 */
export function chartInPlace(svg: string, name: string): Content {
  const size = sizeOf(svg);
  return figureOf(withViewBox(svg, size), name, size, true);
}

function figureOf(ready: string, name: string, size: DrawingSize, own: boolean): Content {
  return html`<figure class="chart-figure${own ? "" : " on-white"}" id="${name}">
<div class="chart-stage" tabindex="0" role="group" aria-label="Chart. Keys: plus and minus zoom, arrows move, 0 shows the whole chart."><div class="chart-room" style="--w:${Math.round(size.width)}px">${new Markup(ready)}</div></div>
<div class="ib-tools chart-tools" hidden><button type="button" data-do="open">enlarge</button><button type="button" data-do="reset">whole chart</button><output></output></div>
</figure>
`;
}

function sizeOf(svg: string): DrawingSize {
  const tag = /^<svg[^>]*>/i.exec(svg)?.[0] ?? "";
  const number = (name: string): number =>
    Number.parseFloat(
      new RegExp(`\\s${name}\\s*=\\s*["']?\\s*([\\d.]+)(?:px)?\\s*["'\\s>]`, "i").exec(tag)?.[1] ?? "",
    );
  const box =
    /\sviewBox\s*=\s*["']([^"']*)["']/i
      .exec(tag)?.[1]
      ?.trim()
      .split(/[\s,]+/)
      .map(Number) ?? [];
  const width = number("width") || box[2] || 600;
  const height = number("height") || box[3] || 400;
  return { width: Math.min(width, 4000), height: Math.min(height, 8000) };
}

/** The drawing inside another one: rules and ids of the inner are its own, scripts in it never run. */
function asPicture(svg: string, { width, height }: DrawingSize): string {
  const whole = svg.includes("xmlns=")
    ? svg
    : svg.replace(/^<svg/i, '<svg xmlns="http://www.w3.org/2000/svg"');
  const data = `data:image/svg+xml;base64,${Buffer.from(whole, "utf8").toString("base64")}`;
  return `<svg width="${width}" height="${height}" viewBox="0 0 ${width} ${height}"><image href="${data}" width="${width}" height="${height}"/></svg>`;
}

/** The outer element with a viewBox, which is what zooming changes. */
function withViewBox(svg: string, { width, height }: DrawingSize): string {
  const tag = /^<svg[^>]*>/.exec(svg)?.[0] ?? "";
  if (/\sviewBox="/.test(tag)) return svg;
  return svg.replace(/^<svg/, `<svg viewBox="0 0 ${width} ${height}"`);
}

import { INK } from "../chart/spec.js";
import { type Content, html, jsonForHtml, Markup } from "../text/markup.js";
import { DRAWING_TOOLS, drawTrace } from "./draw-trace.js";
import type { DrawnTrace } from "./drawn-trace.js";
import { packTrace } from "./pack-trace.js";
import { standaloneStyle } from "./trace-style.js";

export interface TraceFigureOptions {
  /** Target of links. */
  readonly id: string;
  readonly caption: Content;
  /** What a reader who cannot see the picture is told. */
  readonly description: string;
  /** Draw it into the page already, for print and for readers without scripts. @default true */
  readonly drawn?: boolean;
}

/** Width at which figures are drawn before the script fits them to the window, px. */
const FIGURE_WIDTH = 900;

/** A zoomable trace of at most as many points as `thinTrace` leaves: the drawing, its data, and the buttons; the page's script brings it to life. */
export function traceFigure(trace: DrawnTrace, options: TraceFigureOptions): Markup {
  const svg = options.drawn === false ? "" : drawWhole(trace, FIGURE_WIDTH);
  return html`<figure class="ib-trace" id="${options.id}">
<figcaption>${options.caption}</figcaption>
<div class="ib-plot" tabindex="0" role="group" aria-label="${options.description} Keys: plus and minus zoom, arrows move and magnify, 0 shows the whole record.">${new Markup(svg)}</div>
<div class="ib-tools"><button type="button" data-do="in">zoom in</button><button type="button" data-do="out">zoom out</button><button type="button" data-do="taller">magnify more</button><button type="button" data-do="flatter">magnify less</button><button type="button" data-do="reset">whole record</button><output></output></div>
<script type="application/json" class="ib-data">${new Markup(jsonForHtml(packTrace(trace)))}</script>
</figure>
`;
}

/** The whole record as an SVG text without colours of its own: for a page that carries the trace style. */
export function drawWhole(trace: DrawnTrace, width: number): string {
  const { time } = trace;
  return drawTrace(trace, { x: [time[0], time[time.length - 1]] }, width, DRAWING_TOOLS).svg;
}

/** Paper around a picture that stands alone, px. */
const MARGIN = 10;

/**
 * The whole record as a picture that needs nothing around it.
 *
 * @param rules how its parts look; `literalStyle` for drawers that know no custom properties
 */
export function tracePicture(
  trace: DrawnTrace,
  width = FIGURE_WIDTH,
  rules: string = standaloneStyle(),
): string {
  const ground = `<rect x="${-MARGIN}" y="${-MARGIN}" width="100%" height="100%" fill="${INK.paper}"/>`;
  return drawWhole(trace, width).replace(
    /^<svg([^>]*) viewBox="0 0 (\d+) (\d+)" width="\d+" height="\d+">/,
    (_, start: string, across: string, down: string) => {
      const [wide, high] = [Number(across) + 2 * MARGIN, Number(down) + 2 * MARGIN];
      const view = `viewBox="${-MARGIN} ${-MARGIN} ${wide} ${high}" width="${wide}" height="${high}"`;
      return `<svg${start} ${view}><style>${rules}</style>${ground}`;
    },
  );
}

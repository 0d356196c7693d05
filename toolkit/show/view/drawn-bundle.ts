import type { DisplayBundle } from "../../display.js";
import { renderPng } from "../chart/render-png.js";
import { type Content, html } from "../text/markup.js";
import { fixed } from "../text/numbers.js";
import type { DrawnTrace } from "../trace/drawn-trace.js";
import { thinTrace } from "../trace/thin-trace.js";
import { traceFigure, tracePicture } from "../trace/trace-figure.js";
import { literalStyle } from "../trace/trace-style.js";
import { htmlBlock } from "./html-block.js";

/** Width of the still picture before it is drawn at twice its size, px. */
const STILL_WIDTH = 640;

export interface DrawnBundleOptions {
  /** The result as plain text. */
  readonly text: string;
  /** Names the figure; the same whenever the cell runs again. */
  readonly id: string;
  readonly caption: Content;
  /** What a reader who cannot see the picture is told. */
  readonly description: string;
  /** What stands below the figure. */
  readonly body?: Content;
}

/** A drawn record for a notebook: zoomable with its words, and still pictures, SVG and PNG, for places without scripts. */
export async function drawnBundle(trace: DrawnTrace, options: DrawnBundleOptions): Promise<DisplayBundle> {
  const { text, id, caption, description, body } = options;
  const drawn = thinTrace(trace);
  const [all, kept] = [trace, drawn].map(({ time }) => fixed(time.length, 0));
  const thinned =
    drawn !== trace &&
    html`<p class="note">Drawn from the lowest and highest of every few samples: ${kept} of ${all}.</p>`;
  const figure = traceFigure(drawn, { id, caption, description });
  return {
    "text/plain": text,
    "text/html": htmlBlock(html`${figure}${thinned}${body}`, true),
    "image/svg+xml": tracePicture(drawn),
    "image/png": await renderPng(tracePicture(drawn, STILL_WIDTH, literalStyle())),
  };
}

import type { EvaluatedTrace } from "../../batch/types.js";
import type { DisplayBundle } from "../../display.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { renderPng } from "../chart/render-png.js";
import { traceAnchor } from "../page/anchors.js";
import { peakName } from "../text/ion-names.js";
import { html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity } from "../text/numbers.js";
import type { DrawnTrace } from "../trace/drawn-trace.js";
import { readRecord } from "../trace/read-record.js";
import { readTrace } from "../trace/read-trace.js";
import { traceFigure, tracePicture } from "../trace/trace-figure.js";
import { literalStyle } from "../trace/trace-style.js";
import { htmlBlock } from "./html-block.js";

/** Width of the still picture before it is drawn at twice its size, px. */
const STILL_WIDTH = 640;

/** An evaluated injection: zoomable, with a still picture beside it. */
export async function traceView(trace: EvaluatedTrace): Promise<DisplayBundle> {
  const drawn = readTrace(trace);
  const { injection, channel } = trace;
  const title = `${injection.id} · ${injection.solution || injection.kind} · ${channel}s`;
  const peaks = trace.peaks.map(
    (peak) =>
      `${quantity(fixed(peak.retentionTime, 2), "min")} ${peakName(peak.ion)} ${measuredText(peak.area)}`,
  );
  const figure = traceFigure(drawn, {
    id: traceAnchor(injection.id),
    caption: html`<strong>${title}</strong>`,
    description: `Chromatogram ${title}. Peaks: ${peaks.join("; ") || "none"}.`,
  });
  return {
    "text/plain": [title, ...peaks].join("\n"),
    "text/html": htmlBlock(figure, true),
    ...(await pictures(drawn)),
  };
}

/** A record as it was read. */
export async function chromatogramView(record: Chromatogram): Promise<DisplayBundle> {
  const drawn = readRecord(record);
  const figure = traceFigure(drawn, {
    id: traceAnchor(record.id),
    caption: html`<strong>${record.id}</strong> <small>${record.notes.join("; ")}</small>`,
    description: `Chromatogram ${record.id}.`,
  });
  return {
    "text/plain": String(record),
    "text/html": htmlBlock(figure, true),
    ...(await pictures(drawn)),
  };
}

/** A still picture beside the living one: SVG, and PNG for pages that refuse SVG. */
async function pictures(drawn: DrawnTrace) {
  return {
    "image/svg+xml": tracePicture(drawn),
    "image/png": await renderPng(tracePicture(drawn, STILL_WIDTH, literalStyle())),
  };
}

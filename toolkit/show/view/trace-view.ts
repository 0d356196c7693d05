import type { EvaluatedTrace } from "../../batch/types.js";
import type { DisplayBundle } from "../../display.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { traceAnchor } from "../page/anchors.js";
import { peakName } from "../text/ion-names.js";
import { html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity } from "../text/numbers.js";
import { readRecord } from "../trace/read-record.js";
import { readTrace } from "../trace/read-trace.js";
import { drawnBundle } from "./drawn-bundle.js";

/** An evaluated injection: zoomable, with a still picture beside it. */
export function traceView(trace: EvaluatedTrace): Promise<DisplayBundle> {
  const drawn = readTrace(trace);
  const { injection, channel } = trace;
  const title = `${injection.id} · ${injection.solution || injection.kind} · ${channel}s`;
  const peaks = trace.peaks.map(
    (peak) =>
      `${quantity(fixed(peak.retentionTime, 2), "min")} ${peakName(peak.ion)} ${measuredText(peak.area)}`,
  );
  return drawnBundle(drawn, {
    text: [title, ...peaks].join("\n"),
    id: traceAnchor(injection.id),
    caption: html`<strong>${title}</strong>`,
    description: `Chromatogram ${title}. Peaks: ${peaks.join("; ") || "none"}.`,
  });
}

/** A record as it was read. */
export function chromatogramView(record: Chromatogram): Promise<DisplayBundle> {
  return drawnBundle(readRecord(record), {
    text: String(record),
    id: traceAnchor(record.id),
    caption: html`<strong>${record.id}</strong> <small>${record.notes.join("; ")}</small>`,
    description: `Chromatogram ${record.id}.`,
  });
}

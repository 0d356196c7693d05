import type { EvaluatedTrace, InjectionKind, Results } from "../../batch/types.js";
import { type Content, html } from "../text/markup.js";
import { fixed } from "../text/numbers.js";
import { counted, distinct, listed, sentenceCase } from "../text/words.js";
import { readTrace } from "../trace/read-trace.js";
import { traceFigure } from "../trace/trace-figure.js";
import { traceAnchor } from "./anchors.js";
import type { PageSection } from "./page-shell.js";

/** Folded groups below the samples, in the order in which doubts arise. */
const FOLDED: readonly { readonly heading: string; readonly kinds: readonly InjectionKind[] }[] = [
  { heading: "Duplicates and spikes", kinds: ["duplicate", "matrix spike", "matrix spike duplicate"] },
  {
    heading: "Checks",
    kinds: ["second source", "continuing check", "fortified blank", "reference material"],
  },
  { heading: "Calibration standards", kinds: ["calibration"] },
  { heading: "Blanks", kinds: ["blank"] },
];

/** The trace of every injection: samples drawn, the others folded away until asked for. */
export function chromatogramSection(results: Results): PageSection {
  const traces = [...results.traces.values()];
  const order = distinct(results.samples.map((row) => row.sample));
  const place = (trace: EvaluatedTrace): number => order.indexOf(trace.injection.solution);
  const samples = traces
    .filter((trace) => trace.injection.kind === "sample")
    .sort(
      (a, b) =>
        place(a) - place(b) || a.channel.localeCompare(b.channel) || a.injection.line - b.injection.line,
    );
  const folded = FOLDED.map(({ heading, kinds }) => {
    const own = traces.filter((trace) => kinds.includes(trace.injection.kind));
    if (own.length === 0) return undefined;
    return html`<details class="wide"><summary>${heading}: ${counted(own.length, "injection")}</summary>
${own.map((trace) => figure(trace, false))}</details>
`;
  });
  return {
    id: "chromatograms",
    heading: "Chromatograms",
    body: html`<p class="note">Signal in ink, baseline dashed, every integrated peak filled; a fitted peak has an edge of its own, and the strip at the foot shows what the fits leave over (nothing under summed peaks). Grey peaks have no name. The faint ground marks what is not evaluated. Where a peak is dwarfed by another, the same record stands magnified below it. Drag across a chart to zoom into a box, turn the wheel to zoom in time, double-click for the whole record.</p>
${samples.map((trace) => figure(trace, true))}
${folded}`,
  };
}

function figure(trace: EvaluatedTrace, drawn: boolean): Content {
  const { injection, channel } = trace;
  const dilution =
    injection.dilution === 1
      ? undefined
      : `diluted ${fixed(injection.dilution, Number.isInteger(injection.dilution) ? 0 : 2)} times`;
  const kind = injection.kind === "sample" ? undefined : injection.kind;
  const facts = [kind, `${channel}s`, dilution, injection.id, dateText(injection.injectedAt)];
  const shown = facts.filter((fact) => fact !== undefined);
  const name = injection.solution === "" ? sentenceCase(injection.kind) : injection.solution;
  const found = trace.peaks.filter((peak) => peak.identity !== "system").map((peak) => peak.ion);
  return traceFigure(readTrace(trace), {
    id: traceAnchor(injection.id),
    caption: html`<strong>${name}</strong> <small>${shown.join(" · ")}${injection.remark && ` · ${injection.remark}`}</small>`,
    description: `Chromatogram of ${name}, ${shown.join(", ")}. Peaks: ${found.length === 0 ? "none" : listed(found, 30)}.`,
    drawn,
  });
}

/** "2031-03-03 15:24" of an ISO 8601 time; a time zone stays, seconds of zero go. */
function dateText(time: string): string {
  return time
    .replace("T", " ")
    .replace(/(:\d\d):00(\.0+)?/, "$1")
    .replace(/Z$/, " UTC");
}

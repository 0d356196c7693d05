import type { CellDocument, NotebookDocument, Output, RunEvidence } from "../../toolkit/notebook/document.js";
import { recordBundle } from "../../toolkit/notebook/record-data.js";
import { hashesOfCells, hashOfSources } from "../../toolkit/notebook/run/source-hashes.js";
import { calibrationChart } from "../../toolkit/show/chart/calibration-chart.js";
import { chartBundle } from "../../toolkit/show/view/chart-bundle.js";
import { measuredValueView } from "../../toolkit/show/view/measured-value-view.js";
import { resultsView } from "../../toolkit/show/view/results-view.js";
import { traceView } from "../../toolkit/show/view/trace-view.js";
import { inventedResults } from "../show/invented-results.js";

/** A text cell. */
export function text(source: string, attachments?: Record<string, Record<string, unknown>>): CellDocument {
  const parts = { id: "", metadata: {}, source, cell_type: "markdown" as const };
  return attachments ? { ...parts, attachments } : parts;
}

/** A code cell that was run. */
export function code(
  source: string,
  outputs: readonly Output[] = [],
  tags: readonly string[] = [],
): CellDocument {
  const metadata = tags.length > 0 ? { tags } : {};
  return { id: "", metadata, source, cell_type: "code", execution_count: null, outputs };
}

export function shown(data: Readonly<Record<string, unknown>>): Output {
  return { output_type: "display_data", data, metadata: {} };
}

export function printed(words: string, name: "stdout" | "stderr" = "stdout"): Output {
  return { output_type: "stream", name, text: words };
}

/** The cells as a notebook, each with an id and its number among the code cells. */
export function notebook(
  cells: readonly CellDocument[],
  metadata: Readonly<Record<string, unknown>> = {},
): NotebookDocument {
  let count = 0;
  const numbered = cells.map((cell, index): CellDocument => {
    if (cell.cell_type !== "code") return { ...cell, id: `cell${index}` };
    count += 1;
    return { ...cell, id: `cell${index}`, execution_count: count };
  });
  return { nbformat: 4, nbformat_minor: 5, metadata, cells: numbered };
}

/** What a run of `document` would have left; invented. */
export function evidenceOf(document: NotebookDocument, files = 3): RunEvidence {
  const hash = (index: number): string => (index + 1).toString(16).padStart(2, "0").repeat(32);
  return {
    ranAt: "2026-03-20T08:15:00.000Z",
    seconds: 12.4,
    files: Array.from({ length: files }, (_, index) => ({
      path: `../data/${index % 2 === 0 ? "anions" : "cations"}/run-${index}.csv`,
      sha256: hash(index),
    })),
    seeds: [{ seed: 7, purpose: "Monte Carlo, 10 000 trials" }],
    versions: { ionbook: "0.1.0", node: "20.20.2", typescript: "5.0.4" },
    sources: hashOfSources(document),
    cells: hashesOfCells(document),
  };
}

/** A notebook with one of everything that an investigation shows; its data are invented. */
export async function sampleNotebook(): Promise<NotebookDocument> {
  const results = inventedResults({ points: 2000 });
  const trace = results.traces.get("A026");
  const calibration = results.calibrations[0];
  const measured = results.samples.find((row) => row.value !== undefined)?.value;
  if (!trace || !calibration || !measured)
    throw new Error("the invented results lost a trace, a curve or a value");
  const curve = await chartBundle("chloride: fits", calibrationChart(calibration, 300));
  const cells = [
    text(
      "# Does it balance?\n\nThe first paragraph leads in, with $u_c(y)$ in it.\n\nA second one follows.\n\n- see [the data](#The-data)",
    ),
    code("// Read both channels\nconst found = await quantify(batches);"),
    code(
      "answer",
      [shown({ "text/markdown": "**It does**, within 0.4 ± 1.1 %.", "text/plain": "It does" })],
      ["answer"],
    ),
    text(
      "## The data\n\nIn words, a formula:\n\n$$u_c^2(y)=\\sum_{i=1}^{N}\\left(\\frac{\\partial f}{\\partial x_i}\\right)^2u^2(x_i)$$\n\n| ion | charge |\n|---|--:|\n| SO₄²⁻ | −2 |\n\n```ts\nconst charge: number = -2; // of sulfate\n```",
    ),
    code("found", [shown(resultsView(results))]),
    text("### One trace\n\nTwice, on purpose."),
    code('found.trace("A026")', [shown(await traceView(trace)), shown(await traceView(trace))]),
    text("## What it rests on in the laboratory"),
    code("found.calibration(0)", [shown(curve)]),
    code("value", [shown(await measuredValueView(measured))]),
    code('// Held fast\nrecord("chloride", value);', [
      shown(recordBundle({ name: "chloride", value: 12.4, u: 0.25, unit: "mg/L", tolerance: 0.004 })),
    ]),
    code('console.log("lines");', [
      printed(Array.from({ length: 30 }, (_, index) => `\u001b[32mline ${index + 1}\u001b[0m`).join("\n")),
      printed("look at this", "stderr"),
    ]),
    code("const a = 1;\nfail(a);", [
      {
        output_type: "error",
        ename: "Error",
        evalue: "weighting needs levels above zero",
        traceback: [
          "\u001b[31mError: weighting needs levels above zero\u001b[0m",
          "    In[9], line 2, column 1",
        ],
      },
    ]),
  ];
  return notebook(cells, { invented: true });
}

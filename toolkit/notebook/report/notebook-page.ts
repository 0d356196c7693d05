import { type PageSection, pageShell } from "../../show/page/page-shell.js";
import { cautions } from "../../show/page/report-page.js";
import { type Content, html } from "../../show/text/markup.js";
import { counted } from "../../show/text/words.js";
import type { NotebookDocument, RunEvidence } from "../document.js";
import { CellWriter } from "./cell-writer.js";
import { notebookScript } from "./chart-script.js";
import { dateText, EVIDENCE_ID, evidenceSection } from "./evidence-section.js";
import { mathStyle } from "./math-style.js";
import { notebookOpening, titleOf } from "./notebook-opening.js";
import { PageNames } from "./page-names.js";
import { picturesOf, type ReadImage } from "./pictures.js";
import { allRecorded } from "./recorded.js";
import { reportStyle } from "./report-style.js";
import { runState, stateWarning } from "./run-state.js";

/** What the page says about the notebook besides its cells. */
export interface AboutNotebook {
  /** The notebook's file name, as in the commands that run it again. */
  readonly fileName: string;
  /** What the run left behind; undefined for a notebook that ionbook did not run. */
  readonly evidence: RunEvidence | undefined;
  /** @default the first heading of the first level, else the file name */
  readonly title?: string;
  /** @default what the notebook's metadata and results say */
  readonly invented?: boolean;
  /** Reads pictures beside the notebook; without it they are left out, in words. */
  readonly readImage?: ReadImage;
}

/** Ids of the page itself; headings get others. */
const TAKEN = ["answer", "all-code", EVIDENCE_ID];
const EVIDENCE_PARTS = ["files", "recorded", "seeds", "versions"].map((part) => `${EVIDENCE_ID}-${part}`);

/**
 * An executed notebook as one HTML text for its readers: it opens from disk and asks the network for nothing. Title,
 * lead and the answer (output of the code cell tagged "answer") come first, then the cells in their order with
 * code folded and outputs in full view, at the end what all of it rests on. Outputs are treated as of unknown
 * origin: they bring no script, no style sheet and no address that is loaded.
 */
export async function notebookPage(document: NotebookDocument, about: AboutNotebook): Promise<string> {
  const pictures = await picturesOf(document, about.readImage);
  const cellIds = document.cells.map((_, index) => `cell-${index + 1}`);
  const names = new PageNames([...TAKEN, ...EVIDENCE_PARTS, ...cellIds]);
  const written = new CellWriter(document, names, pictures).write();
  const title = about.title ?? titleOf(document) ?? about.fileName;
  const invented = about.invented ?? notebookOpening(document).invented;
  const opening = html`<p class="kicker">${kicker(document, about)}</p>
<h1>${about.title ?? written.title ?? title}</h1>
${invented && inventedNote()}${editedNote(document, about)}${written.lead}
${written.answer && html`<div id="answer">${written.answer}</div>`}
<p class="opening-tools"><button type="button" class="quiet" id="all-code" hidden>show all code</button></p>
${written.opening}`;
  const sections: PageSection[] = [
    ...written.sections,
    evidenceSection(document, about.fileName, about.evidence),
  ];
  const math = await mathStyle(
    html`${opening}${sections.map((section) => [section.heading, section.body])}`.text,
  );
  return pageShell({
    title,
    opening,
    sections,
    closing: cautions(),
    zooms: written.traces,
    style: `${reportStyle()}\n${math}`,
    scripts: [notebookScript()],
  });
}

function kicker(document: NotebookDocument, { fileName, evidence }: AboutNotebook): string {
  const recorded = allRecorded(document).length;
  const facts = [
    fileName.replace(/^.*[\\/]/, ""),
    evidence === undefined ? "not run" : `run ${dateText(evidence.ranAt).replace(/,.*$/, "")}`,
    ...(evidence && evidence.files.length > 0 ? [counted(evidence.files.length, "data file")] : []),
    ...(recorded > 0 ? [counted(recorded, "recorded result")] : []),
  ];
  return facts.join(" · ");
}

function inventedNote(): Content {
  return html`<p class="invented" role="note"><strong>Invented demonstration data:</strong> nothing here was sampled or measured.</p>\n`;
}

/** What a reader must know before the first number: outputs of a notebook edited since are not its own. */
function editedNote(document: NotebookDocument, { evidence }: AboutNotebook): Content {
  const warning = evidence && stateWarning(runState(document, evidence));
  return (
    warning !== undefined &&
    html`<p class="warning" role="note">${warning} <a href="#${EVIDENCE_ID}">What this rests on</a></p>\n`
  );
}

import type { PageSection } from "../../show/page/page-shell.js";
import { type Content, html } from "../../show/text/markup.js";
import { trimmed } from "../../show/text/numbers.js";
import { counted } from "../../show/text/words.js";
import type { NotebookDocument, RunEvidence } from "../document.js";
import { toleranceText } from "../record-data.js";
import { type FileGroup, fileGroups, type HashedFile } from "./file-groups.js";
import { allRecorded, recordedText } from "./recorded.js";
import { runState, stateWarning } from "./run-state.js";

/** So many files stand open; more are folded by folder. */
const OPEN_FILES = 8;
/** Hexadecimal figures of a shortened SHA-256. */
const SHORT = 12;

/** Id of the section, for links to it. */
export const EVIDENCE_ID = "evidence";

/** What the page rests on: the run, data files, recorded results, seeds, versions, and how to do it again. */
export function evidenceSection(
  document: NotebookDocument,
  fileName: string,
  evidence: RunEvidence | undefined,
): PageSection {
  const state = runState(document, evidence);
  const warning = stateWarning(state);
  return {
    id: EVIDENCE_ID,
    heading: "What this rests on",
    body: html`${warning !== undefined && html`<p class="warning" role="note">${warning}</p>\n`}
${evidence && html`<p>${runSentence(evidence, state.kind === "as run")}</p>\n`}${again(fileName)}
${evidence && fileList(evidence.files)}
${recordedTable(document)}
${evidence && seedTable(evidence)}
${evidence && versionTable(evidence)}`,
  };
}

function runSentence({ ranAt, seconds }: RunEvidence, unchanged: boolean): string {
  const code = unchanged ? " Each output was computed by the code above it." : "";
  return `Run on ${dateText(ranAt)}, in ${durationText(seconds)}.${code}`;
}

function again(fileName: string): Content {
  const name = fileName.replaceAll("\\", "/");
  const quoted = /^[\w./-]+$/.test(name) ? name : `"${name.replace(/["\\$`]/g, "\\$&")}"`;
  return html`<p>To run it again, and to check that every recorded result and every data file is still the same:</p>
<pre class="plain commands">npx ionbook run ${quoted}
npx ionbook verify ${quoted}</pre>
`;
}

function fileList(files: readonly HashedFile[]): Content {
  if (files.length === 0) return html`<h3 id="evidence-files">Data files</h3><p>No data file was read.</p>\n`;
  const groups = fileGroups(files);
  const open = files.length <= OPEN_FILES;
  const note = open
    ? ""
    : " The SHA-256 of a folder is that of its list, one file a line: SHA-256, two spaces, path.";
  return html`<h3 id="evidence-files">Data files</h3>
<p class="note">${counted(files.length, "file")} read, each with its SHA-256: one changed byte, and it is another.${note}</p>
${open ? html`<div class="scroll"><table><tbody>${groups.flatMap((group) => group.files).map(shortRow)}</tbody></table></div>` : groups.map(foldedGroup)}
`;
}

function shortRow(file: HashedFile): Content {
  return html`<tr><th scope="row">${file.path}</th><td>${shortHash(file.sha256)}</td></tr>\n`;
}

/** The first figures; the rest on demand. */
function shortHash(sha256: string): Content {
  return html`<details class="hash"><summary><code>${sha256.slice(0, SHORT)}…</code></summary><code>${sha256}</code></details>`;
}

function foldedGroup({ folder, files, combined }: FileGroup): Content {
  const rows = files.map(
    (file) =>
      html`<tr><th scope="row">${file.path.slice(folder === "." ? 0 : folder.length + 1)}</th><td><code>${file.sha256}</code></td></tr>\n`,
  );
  return html`<details class="files"><summary><span>${folder}</span><span class="about">${counted(files.length, "file")}, <code>${combined.slice(0, SHORT)}…</code></span></summary>
<p class="note">SHA-256 of the list: <code>${combined}</code></p>
<div class="scroll"><table><tbody>${rows}</tbody></table></div></details>
`;
}

function recordedTable(document: NotebookDocument): Content {
  const recorded = allRecorded(document);
  if (recorded.length === 0) return undefined;
  const rows = recorded.map(
    (each) =>
      html`<tr><th scope="row" class="text">${each.name}</th><td class="text">${recordedText(each)}</td><td>${toleranceText(each)}</td><td class="num"><a href="#cell-${each.cell}">${each.cell}</a></td></tr>\n`,
  );
  return html`<h3 id="evidence-recorded">Recorded results</h3>
<div class="scroll"><table><thead><tr><th>result</th><th>value</th><th>when run again</th><th class="num">cell</th></tr></thead><tbody>${rows}</tbody></table></div>
`;
}

function seedTable({ seeds }: RunEvidence): Content {
  if (seeds.length === 0) return undefined;
  const rows = seeds.map(
    ({ seed, purpose }) =>
      html`<tr><th scope="row" class="text">${purpose}</th><td><code>${seed}</code></td></tr>\n`,
  );
  return html`<h3 id="evidence-seeds">Random numbers</h3>
<div class="scroll"><table><thead><tr><th>for</th><th>seed</th></tr></thead><tbody>${rows}</tbody></table></div>
`;
}

function versionTable({ versions, sources }: RunEvidence): Content {
  const rows = Object.entries(versions).map(
    ([name, version]) => html`<tr><th scope="row">${name}</th><td>${version}</td></tr>\n`,
  );
  return html`<h3 id="evidence-versions">Versions</h3>
<div class="scroll"><table><tbody>${rows}<tr><th scope="row" class="text">text and code of the notebook, SHA-256</th><td>${shortHash(sources)}</td></tr></tbody></table></div>
`;
}

/** "25 November 2026, 13:27 UTC"; the text itself where it is no date. */
export function dateText(iso: string): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return iso;
  const day = new Intl.DateTimeFormat("en-GB", { dateStyle: "long", timeZone: "UTC" }).format(date);
  return `${day}, ${date.toISOString().slice(11, 16)} UTC`;
}

function durationText(seconds: number): string {
  if (seconds < 120) return `${trimmed(seconds, 2)}\u202fs`;
  return `${Math.floor(seconds / 60)}\u202fmin ${Math.round(seconds % 60)}\u202fs`;
}

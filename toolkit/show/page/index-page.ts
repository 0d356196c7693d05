import { html } from "../text/markup.js";
import { keepEquations } from "../text/typeset.js";
import { counted } from "../text/words.js";
import { pageShell } from "./page-shell.js";
import { cautions } from "./report-page.js";

/** One page that the index leads to. */
export interface IndexEntry {
  readonly title: string;
  /** One sentence: what came out. */
  readonly answer: string;
  /** Path of the page relative to the index. */
  readonly href: string;
  /** True for invented demonstration data. */
  readonly invented: boolean;
  /** Short facts in a line: "8 samples", "anions and cations". */
  readonly facts?: readonly string[];
}

/** The list of all reports with their answers, as one HTML text. */
export function indexPage(entries: readonly IndexEntry[]): string {
  const items = entries.map((entry) => {
    const facts = [...(entry.facts ?? []), entry.invented ? "invented demonstration data" : "real data"];
    return html`<article><h2><a href="${localPath(entry.href)}">${entry.title}</a></h2>
<p>${keepEquations(entry.answer)}</p>
<p class="note">${facts.join(" · ")}</p></article>
`;
  });
  return pageShell({
    title: "Reports",
    opening: html`<p class="kicker">${counted(entries.length, "page")} in this folder</p>
<h1>Reports</h1>
${entries.length === 0 && html`<p>Nothing has been evaluated yet.</p>`}
${items}`,
    sections: [],
    closing: cautions(),
    zooms: false,
  });
}

/** A path inside the folder: anything that names a protocol or another place leads nowhere. */
function localPath(href: string): string {
  return /^[a-z][a-z0-9+.-]*:|^\/\//i.test(href.trim()) ? "#" : href;
}

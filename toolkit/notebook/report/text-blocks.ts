import { type Content, html } from "../../show/text/markup.js";
import { settledLines, withoutAnsi } from "./plain-text.js";

/** Longest text that stands open; longer ones are folded behind their first lines. */
const OPEN_LINES = 20;
/** Lines of a folded text that stay in view. */
const SHOWN_LINES = 5;

/** Plain text as it was printed; a long one is folded, its beginning stays in view. */
export function plainBlock(text: string, label = "output"): Content {
  const clean = settledLines(withoutAnsi(text)).replace(/\s+$/, "");
  if (clean === "") return undefined;
  const lines = clean.split("\n");
  const kind = isTabular(lines) ? "plain columns" : "plain";
  const name = label === "output" ? undefined : html`<span class="mark-word">${label}</span>`;
  if (lines.length <= OPEN_LINES)
    return html`<div class="output wide">${name}<pre class="${kind}">${clean}</pre></div>\n`;
  const start = lines.slice(0, SHOWN_LINES).join("\n");
  return html`<div class="output wide">${name}<pre class="${kind}">${start}</pre><details class="more"><summary>${lines.length - SHOWN_LINES} more lines</summary><pre class="${kind}">${lines.slice(SHOWN_LINES).join("\n")}</pre></details></div>
`;
}

/** Lines that were set below each other on purpose: breaking them would undo the columns. */
function isTabular(lines: readonly string[]): boolean {
  const aligned = lines.filter((line) => /\S {2,}\S|[\u2500-\u257f]|\t/.test(line)).length;
  return 2 * aligned >= lines.length;
}

/** What an error says, and where in its cell. */
export interface ErrorParts {
  readonly ename: string;
  readonly evalue: string;
  readonly traceback: readonly string[];
  /** Line of the cell's source, from 1. */
  readonly line: number | undefined;
  readonly source: string;
}

/** An error as a reader can use it: what happened, at which line, and the trace folded below. */
export function errorBlock({ ename, evalue, traceback, line, source }: ErrorParts): Content {
  const trace = withoutAnsi(traceback.join("\n")).trim();
  const said = withoutAnsi(evalue).trim();
  const sourceLine = line === undefined ? undefined : source.split("\n")[line - 1];
  return html`<div class="output error" role="note"><p><span class="mark-word">stopped</span> <strong>${withoutAnsi(ename)}</strong></p>
${said !== "" && html`<pre class="plain said">${said}</pre>`}
${sourceLine !== undefined && html`<p class="note">At line ${line}:</p><pre class="code at-line"><code><span class="line-number">${line}</span>${sourceLine.trim()}</code></pre>`}
${trace !== "" && trace !== said && html`<details class="more"><summary>where it came from</summary><pre class="plain">${trace}</pre></details>`}
</div>
`;
}

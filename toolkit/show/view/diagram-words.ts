import { type Content, html } from "../text/markup.js";
import { typesetSentence } from "../text/typeset.js";

/** Sentences below a diagram. */
export function diagramWords(sentences: readonly string[]): Content {
  return html`<p class="note">${sentences.map(typesetSentence).join(" ")}</p>`;
}

import hljs from "highlight.js/lib/core";
import typescript from "highlight.js/lib/languages/typescript";
import { type Content, escapeHtml, html, Markup } from "../../show/text/markup.js";

hljs.registerLanguage("typescript", typescript);

const AS_TYPESCRIPT = /^(?:typescript|ts|javascript|js|mts|mjs|json)$/i;

/** Code with its words marked by what they are; languages other than TypeScript and its kin stay plain. */
export function highlighted(code: string, language = "typescript"): Markup {
  if (!AS_TYPESCRIPT.test(language)) return new Markup(escapeHtml(code));
  return new Markup(hljs.highlight(code, { language: "typescript", ignoreIllegals: true }).value);
}

/** A cell's code, folded under one thin line; `open` where the reader has to see it, as after an error. */
export function codeBlock(source: string, open = false): Content {
  const code = source.replace(/^\n+|\s+$/g, "");
  if (code === "") return undefined;
  return html`<details class="code"${new Markup(open ? " open" : "")}><summary>${codeLabel(code)}</summary><pre class="code"><code>${highlighted(code)}</code></pre></details>
`;
}

/** What the folded line says: the comment that the code begins with, or "code". */
export function codeLabel(code: string): Content {
  const first = code.trimStart().split("\n")[0].trim();
  const comment = /^(?:\/\/+|\/\*\*?)\s*(.*?)\s*(?:\*\/)?$/.exec(first)?.[1] ?? "";
  return comment === "" ? "code" : html`code<span class="about">${comment}</span>`;
}

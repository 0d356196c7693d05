import { type Content, html, Markup } from "../text/markup.js";
import { zoomScript } from "../trace/zoom-script.js";
import { contentPolicy } from "./content-policy.js";
import { pageStyle } from "./page-style.js";

/** A part of a page that the table of contents leads to. */
export interface PageSection {
  readonly id: string;
  readonly heading: Content;
  /** Shorter wording for the table of contents. */
  readonly short?: string;
  readonly body: Content;
  /** Parts of the part that the table of contents leads to as well; their targets stand in the body. */
  readonly parts?: readonly { readonly id: string; readonly heading: string }[];
}

export interface PageParts {
  readonly title: string;
  /** Everything above the first section: the first screen. */
  readonly opening: Content;
  readonly sections: readonly PageSection[];
  readonly closing?: Content;
  /** True where the page has traces to zoom. */
  readonly zooms: boolean;
  /** Style of this kind of page, after that of every page. */
  readonly style?: string;
  /** Scripts of this kind of page, after that of the traces. */
  readonly scripts?: readonly string[];
}

/** A whole page as HTML text: style and script inside, no request to anywhere. */
export function pageShell(parts: PageParts): string {
  const scripts = [...(parts.zooms ? [zoomScript()] : []), ...(parts.scripts ?? [])];
  const sections = parts.sections.map(
    (section) => html`<section id="${section.id}">
<h2>${section.heading}</h2>
${section.body}
</section>
`,
  );
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width,initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="${new Markup(contentPolicy(scripts))}">
<meta name="color-scheme" content="light dark">
<title>${parts.title}</title>
<link rel="icon" href="data:,">
<style>${new Markup(pageStyle() + (parts.style === undefined ? "" : `\n${parts.style}`))}</style>
</head>
<body class="ionbook">
<div class="${parts.sections.length > 1 ? "with-toc" : ""}">
${parts.sections.length > 1 && contentsList(parts.sections)}
<main>
${parts.opening}
${sections}
${parts.closing}
</main>
</div>
${scripts.map((script) => html`<script>${new Markup(script)}</script>`)}
</body>
</html>
`.text;
}

function contentsList(sections: readonly PageSection[]): Content {
  const entries = sections.map(({ id, heading, short, parts }) => {
    const inner = parts?.map((part) => html`<li><a href="#${part.id}">${part.heading}</a></li>\n`) ?? [];
    return html`<li><a href="#${id}">${short ?? heading}</a>${inner.length > 0 && html`<ol>\n${inner}</ol>`}</li>\n`;
  });
  return html`<nav class="toc" aria-label="Contents"><ol>\n${entries}</ol></nav>`;
}

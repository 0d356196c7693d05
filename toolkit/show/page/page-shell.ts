import { type Content, html, Markup } from "../text/markup.js";
import { zoomScript } from "../trace/zoom-script.js";
import { pageStyle } from "./page-style.js";

/** A part of a page that the table of contents leads to. */
export interface PageSection {
  readonly id: string;
  readonly heading: string;
  /** Shorter wording for the table of contents. */
  readonly short?: string;
  readonly body: Content;
}

export interface PageParts {
  readonly title: string;
  /** Everything above the first section: the first screen. */
  readonly opening: Content;
  readonly sections: readonly PageSection[];
  readonly closing?: Content;
  /** True where the page has traces to zoom. */
  readonly zooms: boolean;
}

/** Nothing but the page itself may be loaded, whatever its texts say. */
const POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:";

/** A whole page as HTML text: style and script inside, no request to anywhere. */
export function pageShell(parts: PageParts): string {
  const contents = parts.sections.map(
    (section) => html`<li><a href="#${section.id}">${section.short ?? section.heading}</a></li>\n`,
  );
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
<meta http-equiv="Content-Security-Policy" content="${POLICY}">
<meta name="color-scheme" content="light dark">
<title>${parts.title}</title>
<link rel="icon" href="data:,">
<style>${new Markup(pageStyle())}</style>
</head>
<body class="ionbook">
<div class="${parts.sections.length > 1 ? "with-toc" : ""}">
${parts.sections.length > 1 && html`<nav class="toc" aria-label="Contents"><ol>\n${contents}</ol></nav>`}
<main>
${parts.opening}
${sections}
${parts.closing}
</main>
</div>
${parts.zooms && html`<script>${new Markup(zoomScript())}</script>`}
</body>
</html>
`.text;
}

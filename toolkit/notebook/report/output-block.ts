import { type Content, html, Markup } from "../../show/text/markup.js";
import { zoomScript } from "../../show/trace/zoom-script.js";
import { htmlBlock } from "../../show/view/html-block.js";
import { type CodeCellDocument, type MimeBundle, type Output, textOf } from "../document.js";
import { RECORD_TYPE } from "../record-data.js";
import { lineOfError } from "../run/line-of-error.js";
import { chartFigure, chartInPlace } from "./chart-figure.js";
import { formulaMarkup, type MarkdownContext, markdownMarkup } from "./markdown-text.js";
import { settledLines, withoutAnsi } from "./plain-text.js";
import { recordedIn, recordedLine } from "./recorded.js";
import { safeMarkup } from "./safe-markup.js";
import { errorBlock, plainBlock } from "./text-blocks.js";

/** What the outputs of a page share. */
export interface OutputContext {
  readonly markdown: MarkdownContext;
  /** A name that no other figure of the page has. */
  readonly nextName: () => string;
}

/** Where a code cell stands: among the code cells, from 1. */
export interface ShownCell {
  readonly cell: CodeCellDocument;
  readonly codeCell: number;
}

/** Texts that the page brings itself: our own blocks carry them, each a copy. */
const OWN_TEXTS: ReadonlySet<string> = ownTexts();

/** A chart among the words of an output; traces, which zoom by themselves, are drawn in another class. */
const CHART = /<svg\b[^>]*\bclass="marks"[^>]*>.*?<\/svg>/gs;

/** Descriptions longer than this are cut: they are read aloud. */
const DESCRIPTION = 400;

/** One output of a cell as it stands in the page. */
export function outputBlock(output: Output, shown: ShownCell, context: OutputContext): Content {
  if (output.output_type === "stream")
    return plainBlock(textOf(output.text), output.name === "stderr" ? "messages" : "output");
  if (output.output_type === "error") {
    const source = textOf(shown.cell.source);
    const line = lineOfError(output.traceback, { codeCell: shown.codeCell, source });
    return errorBlock({ ...output, source, line });
  }
  return bundleBlock(output.data, context);
}

/** The best picture of a value that the page can show. */
export function bundleBlock(data: MimeBundle, context: OutputContext): Content {
  const recorded = recordedIn(data);
  if (recorded) return recordedLine(recorded);
  const text = (type: string): string | undefined => textField(data[type]);
  const plain = text("text/plain");
  const markup = text("text/html");
  if (markup !== undefined) return htmlOutput(markup, data, context);
  const drawing = drawingOf(data, context);
  if (drawing !== undefined) return drawing;
  const markdown = text("text/markdown");
  if (markdown !== undefined)
    return html`<div class="output words">${markdownMarkup(markdown, context.markdown)}</div>\n`;
  const formula = text("text/latex");
  if (formula !== undefined)
    return html`<div class="output">${formulaMarkup(formula, context.markdown)}</div>\n`;
  if (plain !== undefined) return plainBlock(plain);
  return jsonBlock(data);
}

/** Markup, and beside it the drawing of the same value where the markup holds no picture of its own. */
function htmlOutput(markup: string, data: MimeBundle, context: OutputContext): Content {
  const name = context.nextName();
  const { text, refused, pictured } = safeMarkup(markup, `${name}-`, OWN_TEXTS);
  const left = refused.map((element) => `<${element}>`).join(", ");
  const word =
    refused.length > 0 &&
    html`<p class="note">Left out of this output: ${left}. Outputs bring no scripts, styles or embedded pages of their own into the report.</p>\n`;
  const drawing = pictured ? undefined : drawingOf(data, context);
  const zooming = text.replace(CHART, (svg) => html`${chartInPlace(svg, context.nextName())}`.text);
  return html`<div class="output wide markup">${new Markup(zooming)}</div>\n${word}${drawing}`;
}

function drawingOf(data: MimeBundle, context: OutputContext): Content {
  const description = describe(data);
  const svg = textField(data["image/svg+xml"]);
  if (svg !== undefined)
    return html`<div class="output wide">${chartFigure(svg, context.nextName(), description)}</div>\n`;
  for (const type of ["image/png", "image/jpeg", "image/gif", "image/webp"]) {
    const base64 = textField(data[type])?.replace(/\s+/g, "");
    if (base64 === undefined || !/^[A-Za-z0-9+/]+=*$/.test(base64)) continue;
    return html`<div class="output wide"><img class="picture" src="data:${type};base64,${base64}" alt="${description}"></div>\n`;
  }
  return undefined;
}

function describe(data: MimeBundle): string {
  const plain = textField(data["text/plain"]);
  const text = plain === undefined ? "Chart" : withoutAnsi(plain).replace(/\s+/g, " ").trim();
  return text.length > DESCRIPTION ? `${text.slice(0, DESCRIPTION)}…` : text;
}

function jsonBlock(data: MimeBundle): Content {
  const type = Object.keys(data).find((each) => each.endsWith("json") && each !== RECORD_TYPE);
  if (type === undefined) {
    const types = Object.keys(data).join(", ");
    return html`<p class="note">An output that this page cannot show${types !== "" && html` (${types})`}.</p>\n`;
  }
  const value = data[type];
  return plainBlock(typeof value === "string" ? value : JSON.stringify(value, undefined, 2));
}

/** A text of a bundle; undefined for what is none. */
export function textField(value: unknown): string | undefined {
  if (typeof value === "string") return value;
  const lines = Array.isArray(value) && value.every((line) => typeof line === "string");
  return lines ? textOf(value as string[]) : undefined;
}

/** Text of an output that is only words: what the answer of a page may be made of. */
export function wordsOf(output: Output): { readonly markdown: boolean; readonly text: string } | undefined {
  if (output.output_type === "stream")
    return output.name === "stdout"
      ? { markdown: false, text: settledLines(withoutAnsi(textOf(output.text))).trim() }
      : undefined;
  if (output.output_type === "error" || RECORD_TYPE in output.data) return undefined;
  const markdown = textField(output.data["text/markdown"]);
  if (markdown !== undefined) return { markdown: true, text: markdown.trim() };
  const rich = Object.keys(output.data).some((type) => type === "text/html" || type.startsWith("image/"));
  const plain = textField(output.data["text/plain"]);
  return rich || plain === undefined ? undefined : { markdown: false, text: withoutAnsi(plain).trim() };
}

function ownTexts(): ReadonlySet<string> {
  const style = /<style>(.*?)<\/style>/s.exec(htmlBlock(""))?.[1] ?? "";
  return new Set([style, zoomScript()]);
}

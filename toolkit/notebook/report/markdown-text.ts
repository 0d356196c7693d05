import katexPlugin from "@vscode/markdown-it-katex";
import MarkdownIt from "markdown-it";
import { escapeHtml, Markup } from "../../show/text/markup.js";
import { highlighted } from "./code-block.js";
import { isDataImage, isOutsideLink } from "./safe-markup.js";

type Token = ReturnType<MarkdownIt["parse"]>[number];

/** What the texts of a page share: the ids given out so far, and where pictures come from. */
export interface MarkdownContext {
  /** A fragment as it was written in a link → the id it leads to. */
  readonly target: (fragment: string) => string | undefined;
  /** An image's address as it was written → a data address, or undefined where there is none. */
  readonly picture: (address: string) => string | undefined;
  /** Gives out an id for a heading. */
  readonly nameHeading: (text: string) => string;
}

/** A piece of a text cell: a heading of the page, or anything else. */
export type TextBlock =
  | {
      readonly kind: "heading";
      readonly level: number;
      readonly id: string;
      readonly text: string;
      readonly markup: Markup;
    }
  | { readonly kind: "paragraph" | "other"; readonly markup: Markup };

const MATH = { throwOnError: false, strict: "ignore", trust: false, maxSize: 40, maxExpand: 300 } as const;

/** The plugin is a CommonJS module: its function is the default of what import brings. */
const useMath = ((katexPlugin as unknown as { default?: unknown }).default ?? katexPlugin) as (
  md: MarkdownIt,
  options: Readonly<Record<string, unknown>>,
) => void;

/** Markdown without HTML, with formulae; addresses are judged when they are written, not here. */
function makeParser(): MarkdownIt {
  const parser = new MarkdownIt({ html: false, linkify: false, typographer: false });
  parser.use(useMath, MATH);
  parser.validateLink = () => true;
  const { rules } = parser.renderer;
  rules.link_open = (tokens, index, _options, env: MarkdownContext) => openLink(tokens, index, env);
  rules.link_close = (tokens, index) => tokens[index].meta?.closing ?? "</a>";
  rules.image = (tokens, index, _options, env: MarkdownContext) => image(tokens[index], env);
  rules.fence = (tokens, index) => fence(tokens[index]);
  rules.code_block = (tokens, index) => `<pre>${escapeHtml(tokens[index].content)}</pre>\n`;
  rules.table_open = () => '<div class="scroll prose-table"><table>\n';
  rules.table_close = () => "</table></div>\n";
  const within = rules.math_inline_block;
  if (within)
    rules.math_inline_block = (...given) =>
      within(...given).replace(/^<p (.*)<\/p>\s*$/s, (_, inside: string) => `<span ${inside}</span>`);
  return parser;
}

const PARSER = makeParser();

/** The addresses of all images of a text, as they were written. */
export function imageAddresses(source: string): readonly string[] {
  const addresses: string[] = [];
  for (const token of PARSER.parse(source, {})) {
    for (const child of token.children ?? []) {
      if (child.type === "image") addresses.push(child.attrGet("src") ?? "");
    }
  }
  return addresses;
}

/** A heading as plain text, with its level. */
export interface PlainHeading {
  readonly level: number;
  readonly text: string;
}

/** The headings of a text. */
export function headingsOf(source: string): readonly PlainHeading[] {
  const tokens = PARSER.parse(source, {});
  return tokens.flatMap((token, index) =>
    isHeading(token) ? [{ level: Number(token.tag.slice(1)), text: plainInline(tokens[index + 1]) }] : [],
  );
}

/** A text cell as pieces in their order. */
export function markdownBlocks(source: string, context: MarkdownContext): readonly TextBlock[] {
  const tokens = PARSER.parse(source, context);
  const blocks: TextBlock[] = [];
  let from = 0;
  let depth = 0;
  for (let index = 0; index < tokens.length; index += 1) {
    depth += tokens[index].nesting;
    if (depth > 0) continue;
    const piece = tokens.slice(from, index + 1);
    blocks.push(blockOf(piece, context));
    from = index + 1;
  }
  return blocks;
}

/** A text on its own, for an output. */
export function markdownMarkup(source: string, context: MarkdownContext): Markup {
  return new Markup(PARSER.renderer.render(demoted(PARSER.parse(source, context)), PARSER.options, context));
}

/** A formula of an output: "$…$", "$$…$$" or bare. */
export function formulaMarkup(source: string, context: MarkdownContext): Markup {
  const bare = source.trim().replace(/^\$+|\$+$/g, "");
  return new Markup(PARSER.render(`$$\n${bare.trim()}\n$$`, context));
}

/** The words of a text without its marks. */
export function plainMarkdown(source: string): string {
  const tokens = PARSER.parse(source, {});
  const inline = tokens.filter((token) => token.type === "inline" || token.type === "math_block");
  return inline.map(plainInline).join(" ").replace(/\s+/g, " ").trim();
}

function blockOf(piece: Token[], context: MarkdownContext): TextBlock {
  const [first] = piece;
  if (isHeading(first)) {
    const level = Number(first.tag.slice(1));
    const text = plainInline(piece[1]);
    const markup = new Markup(PARSER.renderer.renderInline(piece[1].children ?? [], PARSER.options, context));
    return { kind: "heading", level, id: context.nameHeading(text), text, markup };
  }
  const markup = new Markup(PARSER.renderer.render(piece, PARSER.options, context));
  const picture = piece[1]?.children?.some((child) => child.type === "image") === true;
  return { kind: first.type === "paragraph_open" && !picture ? "paragraph" : "other", markup };
}

function isHeading(token: Token): boolean {
  return token.type === "heading_open" && token.level === 0;
}

function plainInline(token: Token | undefined): string {
  if (!token) return "";
  if (!token.children) return token.content;
  return token.children
    .map((child) => (child.type === "softbreak" || child.type === "hardbreak" ? " " : child.content))
    .join("");
}

/** Headings of an output stand below those of the page. */
function demoted(tokens: Token[]): Token[] {
  for (const token of tokens) {
    if (/^heading_/.test(token.type) && /^h[12]$/.test(token.tag)) token.tag = "h3";
  }
  return tokens;
}

function openLink(tokens: Token[], index: number, context: MarkdownContext): string {
  const address = (tokens[index].attrGet("href") ?? "").trim();
  const title = tokens[index].attrGet("title");
  const hint = title ? ` title="${escapeHtml(title)}"` : "";
  const close = closingOf(tokens, index);
  if (address.startsWith("#")) {
    const target = context.target(decoded(address.slice(1)));
    if (target !== undefined) return `<a href="#${escapeHtml(target)}"${hint}>`;
    close.meta = { closing: "</span>" };
    return "<span>";
  }
  if (isOutsideLink(address)) return `<a href="${escapeHtml(address)}" rel="noreferrer"${hint}>`;
  const why = /^[a-z][a-z0-9+.-]*:/i.test(address)
    ? "link left out: only web and mail addresses are followed"
    : decoded(address);
  close.meta = { closing: `</span> <small>(${escapeHtml(why)})</small>` };
  return "<span>";
}

function closingOf(tokens: Token[], index: number): Token {
  const level = tokens[index].level;
  return tokens
    .slice(index + 1)
    .find((token) => token.type === "link_close" && token.level === level) as Token;
}

function decoded(address: string): string {
  try {
    return decodeURIComponent(address);
  } catch {
    return address;
  }
}

function image(token: Token, context: MarkdownContext): string {
  const address = token.attrGet("src") ?? "";
  const label = token.content;
  const found = context.picture(address);
  if (found !== undefined && isDataImage(found)) {
    return `<img class="picture" src="${escapeHtml(found)}" alt="${escapeHtml(label)}">`;
  }
  const where = address.startsWith("data:") ? "its data are no picture" : decoded(address);
  return `<span class="refused">[picture left out: ${escapeHtml(label === "" ? where : `${label}, ${where}`)}]</span>`;
}

function fence(token: Token): string {
  const language = token.info.trim().split(/\s+/)[0] ?? "";
  return `<pre class="code"><code>${highlighted(token.content.replace(/\n$/, ""), language).text}</code></pre>\n`;
}

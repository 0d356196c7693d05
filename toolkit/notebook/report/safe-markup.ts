import { escapeHtml, jsonForHtml } from "../../show/text/markup.js";
import {
  ALLOWED_HTML,
  ALLOWED_SVG,
  allowedAttribute,
  allowedStyle,
  VOID_ELEMENTS,
} from "./allowed-markup.js";
import { type MarkupToken, markupTokens } from "./markup-tokens.js";

/** An output's markup as it may stand in the page, and what had to stay outside. */
export interface SafeMarkup {
  readonly text: string;
  /** Names of elements that were left out because they could load, run or cover something. */
  readonly refused: readonly string[];
  /** True where the markup holds a drawing or a picture of its own. */
  readonly pictured: boolean;
}

type StartToken = Extract<MarkupToken, { kind: "start" }>;
type RawToken = Extract<MarkupToken, { kind: "raw" }>;

/** What an element's start closes without saying so. */
const CLOSES: Readonly<Record<string, readonly string[]>> = {
  li: ["li"],
  dt: ["dt", "dd"],
  dd: ["dt", "dd"],
  td: ["td", "th"],
  th: ["td", "th"],
  tr: ["td", "th", "tr"],
  tbody: ["td", "th", "tr", "thead", "tbody", "tfoot"],
  thead: ["td", "th", "tr", "thead", "tbody", "tfoot"],
  tfoot: ["td", "th", "tr", "thead", "tbody", "tfoot"],
};
const ENDS_PARAGRAPH =
  /^(?:article|aside|blockquote|details|div|dl|figure|footer|h[1-6]|header|hr|main|ol|p|pre|section|table|ul)$/;
/** Left out without a word: they hold no text of their own and hide nothing a reader should know of. */
const SILENT = new Set(["html", "head", "body", "meta", "link", "title", "font", "center", "label", "nav"]);

/**
 * Markup of unknown origin, written anew from its pieces: known elements and attributes only, every text escaped,
 * every element closed, so it can neither run, load, cover nor leave the place it is put. Ids get `prefix` before
 * them, and links go only to ids of the same markup, to the web and to mail. O(n).
 *
 * @param known Texts of scripts and styles that the page has already; they are left out without being counted.
 */
export function safeMarkup(markup: string, prefix: string, known: ReadonlySet<string>): SafeMarkup {
  return new Writer(prefix, known).write(markupTokens(markup));
}

class Writer {
  private readonly open: string[] = [];
  private readonly refused = new Set<string>();
  private readonly ids = new Set<string>();
  private text = "";
  private pictured = false;

  constructor(
    private readonly prefix: string,
    private readonly known: ReadonlySet<string>,
  ) {}

  write(tokens: readonly MarkupToken[]): SafeMarkup {
    for (const token of tokens) {
      if (token.kind !== "start") continue;
      const id = token.attributes.find((attribute) => attribute.name === "id");
      if (id) this.ids.add(id.value);
    }
    for (const token of tokens) {
      if (token.kind === "text") this.text += escapeHtml(token.text);
      else if (token.kind === "start") this.start(token);
      else if (token.kind === "end") this.end(token.name);
      else this.raw(token);
    }
    while (this.open.length > 0) this.pop();
    return { text: this.text, refused: [...this.refused], pictured: this.pictured };
  }

  private start(token: StartToken): void {
    const inDrawing = this.open.includes("svg") || token.name === "svg";
    const name = inDrawing ? ALLOWED_SVG.get(token.name) : htmlName(token.name);
    if (name === undefined) {
      if (!SILENT.has(token.name)) this.refused.add(token.name);
      return;
    }
    if (name === "img" && !hasPicture(token)) {
      this.text += `<span class="refused">[picture left out: only pictures inside the output itself are shown]</span>`;
      return;
    }
    if (!inDrawing) this.closeBefore(name);
    if (name === "svg" || name === "img") this.pictured = true;
    const attributes = token.attributes.map(({ name: attribute, value }) =>
      this.attribute(name, attribute, value, inDrawing),
    );
    const button = name === "button" ? ' type="button"' : "";
    this.text += `<${name}${attributes.join("")}${button}`;
    if (inDrawing && token.selfClosing) {
      this.text += "/>";
      return;
    }
    this.text += ">";
    if (inDrawing || !VOID_ELEMENTS.has(name)) this.open.push(name);
  }

  private closeBefore(name: string): void {
    const closes = CLOSES[name] ?? [];
    while (closes.includes(this.open[this.open.length - 1])) this.pop();
    if (ENDS_PARAGRAPH.test(name) && this.open[this.open.length - 1] === "p") this.pop();
  }

  private end(given: string): void {
    const name = ALLOWED_SVG.get(given) ?? htmlName(given);
    const at = name === undefined ? -1 : this.open.lastIndexOf(name);
    if (at < 0) return;
    while (this.open.length > at) this.pop();
  }

  private pop(): void {
    this.text += `</${this.open.pop()}>`;
  }

  /** Scripts never run here; the data of a zoomable trace stay, read and written anew. */
  private raw({ name, attributes, text }: RawToken): void {
    const of = (wanted: string) => attributes.find((attribute) => attribute.name === wanted)?.value;
    if (name === "script" && of("type") === "application/json" && of("class") === "ib-data") {
      const data = traceData(text);
      if (data !== undefined && this.open.includes("figure")) {
        this.text += `<script type="application/json" class="ib-data">${data}</script>`;
        return;
      }
    }
    if (!this.known.has(text)) this.refused.add(name);
  }

  private attribute(element: string, name: string, value: string, inDrawing: boolean): string {
    const written = (as: string, text: string): string => ` ${as}="${escapeHtml(text)}"`;
    if (name === "id") return value === "" ? "" : written("id", this.prefix + plainId(value));
    if (name === "href" || name === "xlink:href") return this.link(element, value);
    if (name === "src") return element === "img" && isDataImage(value) ? written("src", value) : "";
    if (name === "headers" || /^aria-(?:labelledby|describedby|controls|owns|details)$/.test(name))
      return written(name, this.references(value));
    const allowed = allowedAttribute(name, inDrawing);
    if (allowed === undefined || (name === "type" && element !== "ol")) return "";
    if (name === "style") return value === "" ? "" : written("style", allowedStyle(value));
    if (/url\s*\(/i.test(value)) return this.paint(allowed, value);
    return written(allowed, value);
  }

  private link(element: string, value: string): string {
    const target = value.trim();
    const own = target.startsWith("#") && this.ids.has(target.slice(1));
    if (own) return ` href="#${this.prefix}${plainId(target.slice(1))}"`;
    if (element === "a" && isOutsideLink(target)) return ` href="${escapeHtml(target)}" rel="noreferrer"`;
    if (element === "image" && isDataImage(target)) return ` href="${escapeHtml(target)}"`;
    return "";
  }

  /** A fill, clip or marker by reference: to an id of the same markup only. */
  private paint(name: string, value: string): string {
    const id = /^\s*url\(\s*["']?#([^"')]+)["']?\s*\)\s*$/i.exec(value)?.[1];
    return id !== undefined && this.ids.has(id) ? ` ${name}="url(#${this.prefix}${plainId(id)})"` : "";
  }

  private references(value: string): string {
    const ids = value.split(/\s+/).filter((id) => this.ids.has(id));
    return ids.map((id) => this.prefix + plainId(id)).join(" ");
  }
}

function hasPicture({ attributes }: StartToken): boolean {
  return attributes.some(({ name, value }) => name === "src" && isDataImage(value));
}

/** Headings of an output stand below those of the text around it. */
function htmlName(name: string): string | undefined {
  if (name === "h1" || name === "h2") return "h3";
  if (name === "main" || name === "header" || name === "footer") return "div";
  return ALLOWED_HTML.has(name) ? name : undefined;
}

function plainId(id: string): string {
  return id.replace(/[^\w-]/g, (character) => `.${character.charCodeAt(0).toString(16)}`);
}

/** True for addresses that a reader may follow: web and mail. */
export function isOutsideLink(address: string): boolean {
  return /^(?:https?:\/\/|mailto:)[^\s"'<>]+$/i.test(address);
}

/** True for a picture that stands in its own address. */
export function isDataImage(address: string): boolean {
  return /^data:image\/(?:png|jpeg|gif|webp|svg\+xml)(?:;charset=[\w-]+)?(?:;base64)?,[^"'<>\s]*$/i.test(
    address,
  );
}

/** The data of a trace as they may stand in a page; undefined where they are not what our traces hold. */
function traceData(text: string): string | undefined {
  try {
    const data: unknown = JSON.parse(text);
    return coloursArePlain(data) ? jsonForHtml(data) : undefined;
  } catch {
    return undefined;
  }
}

/** The drawing writes colours into class names as they are, so they must be plain words. */
function coloursArePlain(data: unknown): boolean {
  if (typeof data !== "object" || data === null) return true;
  return Object.entries(data).every(([key, value]) =>
    key === "color" ? typeof value === "string" && /^[\w-]*$/.test(value) : coloursArePlain(value),
  );
}

/** One piece of an HTML text of unknown origin. */
export type MarkupToken =
  | { readonly kind: "text"; readonly text: string }
  | {
      readonly kind: "start";
      /** In lower case. */
      readonly name: string;
      readonly attributes: readonly { readonly name: string; readonly value: string }[];
      readonly selfClosing: boolean;
    }
  | { readonly kind: "end"; readonly name: string }
  /** An element whose content is no markup: script, style and their like. */
  | {
      readonly kind: "raw";
      readonly name: string;
      readonly attributes: readonly { readonly name: string; readonly value: string }[];
      readonly text: string;
    };

const RAW = new Set([
  "script",
  "style",
  "textarea",
  "xmp",
  "iframe",
  "noembed",
  "noframes",
  "noscript",
  "template",
]);
const TAG = /<(\/?)([a-zA-Z][^\s/>]*)((?:"[^"]*"|'[^']*'|[^"'>])*)>/y;
const ATTRIBUTE = /([^\s"'<>/=]+)(?:\s*=\s*(?:"([^"]*)"|'([^']*)'|([^\s"'=<>`]+)))?/g;
const ENTITIES: Readonly<Record<string, string>> = {
  amp: "&",
  lt: "<",
  gt: ">",
  quot: '"',
  apos: "'",
  nbsp: "\u00a0",
  minus: "\u2212",
  plusmn: "±",
  micro: "µ",
  middot: "·",
  times: "×",
  deg: "°",
  ndash: "–",
  mdash: "—",
  hellip: "…",
  le: "≤",
  ge: "≥",
  sup2: "²",
  rarr: "→",
  larr: "←",
  alpha: "α",
  beta: "β",
  Delta: "Δ",
  kappa: "κ",
  lambda: "λ",
  Lambda: "Λ",
  mu: "μ",
  sigma: "σ",
};

/**
 * The pieces of an HTML text in their order, every text with its entities resolved. Nothing is judged here: whoever
 * writes a page from the pieces has to escape every text again. Comments, declarations and broken tags are left out.
 * O(n) for well-formed text.
 */
export function markupTokens(markup: string): readonly MarkupToken[] {
  const tokens: MarkupToken[] = [];
  let at = 0;
  while (at < markup.length) {
    const open = markup.indexOf("<", at);
    const until = open < 0 ? markup.length : open;
    if (until > at) tokens.push({ kind: "text", text: resolveEntities(markup.slice(at, until)) });
    if (open < 0) break;
    at = readTag(markup, open, tokens);
  }
  return tokens;
}

/** Reads what begins with "<" at `open`; returns where reading goes on. */
function readTag(markup: string, open: number, tokens: MarkupToken[]): number {
  const special = /^<(?:!--|[!?])/.exec(markup.slice(open, open + 4));
  if (special) {
    const end = special[0] === "<!--" ? "-->" : ">";
    const close = markup.indexOf(end, open + special[0].length);
    return close < 0 ? markup.length : close + end.length;
  }
  TAG.lastIndex = open;
  const tag = TAG.exec(markup);
  if (!tag) {
    tokens.push({ kind: "text", text: "<" });
    return open + 1;
  }
  const name = tag[2].toLowerCase();
  const after = open + tag[0].length;
  if (tag[1] === "/") {
    tokens.push({ kind: "end", name });
    return after;
  }
  const attributes = readAttributes(tag[3]);
  if (!RAW.has(name)) {
    tokens.push({ kind: "start", name, attributes, selfClosing: /\/\s*$/.test(tag[3]) });
    return after;
  }
  const close = new RegExp(`</${name}(?=[\\s/>])[^>]*>?`, "ig");
  close.lastIndex = after;
  const end = close.exec(markup);
  tokens.push({ kind: "raw", name, attributes, text: markup.slice(after, end?.index ?? markup.length) });
  return end ? close.lastIndex : markup.length;
}

function readAttributes(text: string): readonly { readonly name: string; readonly value: string }[] {
  const seen = new Set<string>();
  const attributes: { name: string; value: string }[] = [];
  for (const match of text.matchAll(ATTRIBUTE)) {
    const name = match[1].toLowerCase();
    if (seen.has(name)) continue;
    seen.add(name);
    attributes.push({ name, value: resolveEntities(match[2] ?? match[3] ?? match[4] ?? "") });
  }
  return attributes;
}

/** A text in which numeric and the usual named entities are characters; others stay as they are written. */
function resolveEntities(text: string): string {
  return text.replace(/&(?:#x([0-9a-f]{1,6})|#(\d{1,7})|([a-z]+));/gi, (whole, hex, decimal, name) => {
    if (name !== undefined) return ENTITIES[name] ?? whole;
    const code = hex === undefined ? Number(decimal) : Number.parseInt(hex, 16);
    return code > 0 && code <= 0x10ffff ? String.fromCodePoint(code) : "";
  });
}

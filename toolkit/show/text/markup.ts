const ENTITIES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/** `text` as it may stand in an HTML or SVG text or in a quoted attribute: & < > " ' become entities. */
export function escapeHtml(text: string): string {
  return text.replace(/[&<>"']/g, (character) => ENTITIES[character]);
}

/**
 * `value` as JSON that may stand inside a script element: < > & and the two line separators that old script
 * engines refuse are written as \u escapes, so no text in it can end the element.
 */
export function jsonForHtml(value: unknown): string {
  return JSON.stringify(value).replace(
    /[<>&\u2028\u2029]/g,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
}

/** A piece of HTML or SVG that is known to be well formed and escaped. */
export class Markup {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
  toString(): string {
    return this.text;
  }
}

/** What may stand in an `html` template: text is escaped, markup is not, lists are joined, nothing is left out. */
export type Content = Markup | string | number | undefined | false | readonly Content[];

/**
 * HTML from a template literal in which every inserted text is escaped, so markup in a name never reaches the
 * page; only what another `html` template made goes in unescaped.
 */
export function html(parts: TemplateStringsArray, ...contents: readonly Content[]): Markup {
  let text = parts[0];
  contents.forEach((content, index) => {
    text += render(content) + parts[index + 1];
  });
  return new Markup(text);
}

function render(content: Content): string {
  if (content === undefined || content === false) return "";
  if (content instanceof Markup) return content.text;
  if (typeof content === "string") return escapeHtml(content);
  if (typeof content === "number") return String(content);
  return content.map(render).join("");
}

/** Contents with `separator` between them. */
export function joined(contents: readonly Content[], separator: Content): Content {
  return contents.flatMap((content, index) => (index === 0 ? [content] : [separator, content]));
}

/** A text usable as an element's id or fragment: other characters than letters and digits become `_hex`. */
export function anchorName(...parts: readonly string[]): string {
  return parts
    .map((part) =>
      part.replace(/[^A-Za-z0-9-]/gu, (character) => `_${(character.codePointAt(0) ?? 0).toString(16)}`),
    )
    .join("--");
}

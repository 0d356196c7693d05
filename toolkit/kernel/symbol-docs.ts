import type * as TS from "@tslab/typescript-for-tslab";
import type { TypeScript } from "./compiler-type.js";

/** What is known of a name: its type and its documentation, for terminals and for pages. */
export interface SymbolDocs {
  readonly plain: string;
  readonly markdown: string;
}

/** Type first, then the docstring, then its tags (`@param`, `@source` …), each on a line. */
export function docsOf(ts: TypeScript, info: TS.QuickInfo): SymbolDocs {
  const type = ts.displayPartsToString(info.displayParts);
  const text = ts.displayPartsToString(info.documentation);
  const tags = (info.tags ?? []).map((tag) => ({ name: tag.name, text: ts.displayPartsToString(tag.text) }));
  const plainTags = tags.map(({ name, text }) => `@${name} ${text}`.trimEnd()).join("\n");
  const markdownTags = tags.map(({ name, text }) => `- *${name}* ${text}`.trimEnd()).join("\n");
  const fenced = `\`\`\`typescript\n${type}\n\`\`\``;
  return { plain: joined(type, text, plainTags), markdown: joined(fenced, text, markdownTags) };
}

function joined(...parts: readonly string[]): string {
  return parts.filter((part) => part !== "").join("\n\n");
}

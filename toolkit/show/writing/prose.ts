import { DISPLAY, type DisplayBundle } from "../../display.js";
import { IonbookError } from "../../errors.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { measuredText } from "../text/measured-text.js";
import { listed } from "../text/words.js";

/** Text of an investigation whose numbers are computed. */
export interface Prose {
  readonly kind: "prose";
  readonly markdown: string;
  toString(): string;
  [DISPLAY](): DisplayBundle;
}

/** What may stand in a `prose` text; false and undefined leave nothing, so that a sentence can depend on a result. */
export type ProsePart =
  | string
  | number
  | MeasuredValue
  | Prose
  | false
  | undefined
  | readonly (string | Prose)[];

/**
 * Markdown with computed parts, for the sentences of a report: nobody types a result, so none goes stale.
 *
 *     prose`Chloride rose by ${rise.effect}.`        →  Chloride rose by 24.1 ± 1.2 mg/L.
 *
 * A measured value is written with its uncertainty expanded to 95 % coverage, both rounded by it; a whole number as it
 * stands; a list of texts as "a, b and c"; another `prose` as it is; false and undefined as nothing. Texts are taken
 * literally, also where they hold characters that mean something in Markdown.
 *
 * @throws IonbookError "bare-number" for a number with decimals, which says neither its unit nor its digits: write
 *   `shown(x, "mg/L", 2)`; "nothing-to-say" for anything else
 */
export function prose(words: TemplateStringsArray, ...parts: readonly ProsePart[]): Prose {
  let markdown = words[0];
  parts.forEach((part, index) => {
    markdown += written(part, words[index]) + words[index + 1];
  });
  return new ComputedProse(unindented(markdown));
}

class ComputedProse implements Prose {
  readonly kind = "prose";
  readonly markdown: string;

  constructor(markdown: string) {
    this.markdown = markdown;
  }

  toString(): string {
    return this.markdown.replace(/\*\*|\\(?=[\\`*_{}[\]<>()#+!|~$-])/g, "");
  }

  [DISPLAY](): DisplayBundle {
    return { "text/plain": this.toString(), "text/markdown": this.markdown };
  }
}

function written(part: ProsePart, before: string): string {
  if (part === undefined || part === false) return "";
  if (typeof part === "string") return literal(part);
  if (typeof part === "number") return wholeNumber(part, before);
  if (Array.isArray(part)) {
    return listed(
      part.map((each) => written(each, before)),
      Number.POSITIVE_INFINITY,
    );
  }
  if (isOfKind<Prose>(part, "prose")) return part.markdown;
  if (isOfKind<MeasuredValue>(part, "measured-value")) return measuredText(part);
  throw new IonbookError(
    "nothing-to-say",
    `prose cannot write what stands behind "${tail(before)}": give a measured value, a text, a whole number or another prose`,
  );
}

function isOfKind<T extends { readonly kind: string }>(part: unknown, kind: T["kind"]): part is T {
  return typeof part === "object" && part !== null && "kind" in part && part.kind === kind;
}

function wholeNumber(part: number, before: string): string {
  if (Number.isInteger(part)) return String(part).replace("-", "\u2212");
  throw new IonbookError(
    "bare-number",
    `prose got the bare number ${part} behind "${tail(before)}": say its unit and its digits, as in shown(${part}, "mg/L", 3)`,
  );
}

/** The last words before a part: where the writer finds the fault. */
function tail(before: string): string {
  return before.trim().split(/\s+/).slice(-4).join(" ");
}

/** A text whose characters keep no meaning of Markdown. */
function literal(text: string): string {
  return text.replace(/[\\`*_[\]<>#|~$]/g, "\\$&");
}

/** Template texts are indented like the code around them; in Markdown that would make them code. */
function unindented(text: string): string {
  return text
    .split("\n")
    .map((line) => line.replace(/^[ \t]+(?=[^ \t])/, ""))
    .join("\n")
    .trim();
}

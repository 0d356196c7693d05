import { THIN_SPACE } from "./numbers.js";
import { sentenceCase } from "./words.js";

/** Units as sentences of the toolkit write them; a number stays on the line of its unit. */
const BEFORE_UNIT = /(\d) (?=[%σ]|(?:min|s|Hz|µS|mAU|mg|mmol)(?![a-z]))/g;

/** Text of a result as it is printed: true minus signs, numbers that stay with their units. */
export function typeset(text: string): string {
  return text.replace(/(^|[\s(])-(?=\d)/g, "$1−").replace(BEFORE_UNIT, `$1${THIN_SPACE}`);
}

/** The same as a sentence: a capital letter first, a full stop last. */
export function typesetSentence(text: string): string {
  return sentenceCase(typeset(text)).replace(/[^.!?]$/, "$&.");
}

/** A symbol stays on the line of the number it equals: k = 2.8. */
export function keepEquations(text: string): string {
  return text.replace(/(\S) = (?=[−-]?\d)/g, "$1\u00a0=\u00a0");
}

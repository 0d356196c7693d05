import { IonbookError } from "../errors.js";
import { atomicWeight } from "./atomic-weights.js";

/** A chemical formula taken apart. */
export interface Formula {
  /** Formula without its charge, as written, ASCII. */
  readonly body: string;
  /** Signed charge number. */
  readonly charge: number;
  /** Atoms of each element, in the order of first mention. */
  readonly elements: Readonly<Record<string, number>>;
}

const SUBSCRIPTS = "₀₁₂₃₄₅₆₇₈₉";
const SUPERSCRIPTS = "⁰¹²³⁴⁵⁶⁷⁸⁹";

/** Turns every way of writing sub- and superscripts, signs and spaces into plain ASCII: "SO₄²⁻" → "SO4^2-". */
export function plainFormula(text: string): string {
  let out = "";
  for (const character of text.trim()) {
    const sub = SUBSCRIPTS.indexOf(character);
    const sup = SUPERSCRIPTS.indexOf(character);
    if (sub >= 0) out += sub;
    else if (sup >= 0) out += /\^\d*$/.test(out) ? sup : `^${sup}`;
    else if (character === "⁺") out += "+";
    else if (/[⁻−–—‒]/.test(character)) out += "-";
    else if (character === "{" || character === "}" || character === "_") continue;
    else out += character;
  }
  return out;
}

/**
 * The readings of a formula with charge, most likely first: body text and charge.
 * A digit before the sign is the charge after a caret, a space, or a single element ("Ca2+"), and a count of
 * atoms otherwise ("NO3-"); where that gives no sense the other reading is offered second ("SO42-", "N3-").
 */
export function formulaReadings(text: string): readonly { readonly body: string; readonly charge: number }[] {
  const plain = plainFormula(text);
  const readings: { body: string; charge: number }[] = [];
  const add = (body: string, magnitude: string, sign: string): void => {
    if (body === "") return;
    const size = magnitude === "" ? 1 : Number(magnitude);
    readings.push({ body, charge: sign === "-" ? -size : size });
  };
  const marked = /^(.*?)\s*(?:\^\s*|\s)(\d*)([+-])$/.exec(plain) ?? /^(.*?)\s*\((\d*)([+-])\)$/.exec(plain);
  const reversed = /^(.*?)\s*\^?([+-])(\d+)$/.exec(plain);
  const repeated = /^(.*?[^+-])(\+{2,}|-{2,})$/.exec(plain);
  const trailing = /^(.*?)(\d*)([+-])$/.exec(plain);
  if (marked) add(marked[1], marked[2], marked[3]);
  else if (reversed) add(reversed[1], reversed[3], reversed[2]);
  else if (repeated) add(repeated[1], String(repeated[2].length), repeated[2][0]);
  else if (trailing) {
    const [, body, digits, sign] = trailing;
    const asCount = (): void => add(body + digits, "", sign);
    const asCharge = (): void => add(body + digits.slice(0, -1), digits.slice(-1), sign);
    const single = /^[A-Z][a-z]?$/.test(body);
    for (const read of single && digits !== "" ? [asCharge, asCount] : [asCount, asCharge]) read();
  } else readings.push({ body: plain, charge: 0 });
  return readings;
}

/**
 * Atoms of each element in a formula without charge; undefined when the text is no formula of known elements.
 * Parentheses may be nested; counts are whole numbers.
 */
export function countAtoms(body: string): Readonly<Record<string, number>> | undefined {
  const stack: Map<string, number>[] = [new Map()];
  const token = /([A-Z][a-z]?)(\d*)|(\()|(\))(\d*)/y;
  let at = 0;
  while (at < body.length) {
    token.lastIndex = at;
    const match = token.exec(body);
    if (!match) return undefined;
    at = token.lastIndex;
    if (match[1] !== undefined) {
      if (atomicWeight(match[1]) === undefined) return undefined;
      addAtoms(stack[stack.length - 1], match[1], match[2] === "" ? 1 : Number(match[2]));
    } else if (match[3] !== undefined) stack.push(new Map());
    else {
      const group = stack.pop();
      if (!group || stack.length === 0) return undefined;
      const times = match[5] === "" ? 1 : Number(match[5]);
      for (const [symbol, count] of group) addAtoms(stack[stack.length - 1], symbol, count * times);
    }
  }
  if (stack.length !== 1 || stack[0].size === 0) return undefined;
  return Object.fromEntries(stack[0]);
}

function addAtoms(counts: Map<string, number>, symbol: string, count: number): void {
  counts.set(symbol, (counts.get(symbol) ?? 0) + count);
}

/**
 * A formula with or without charge, taken apart: "SO4^2-" → { body: "SO4", charge: −2, elements: { S: 1, O: 4 } }.
 *
 * @throws IonbookError "bad-formula" when no reading of the text consists of known elements
 */
export function parseFormula(text: string): Formula {
  for (const { body, charge } of formulaReadings(text)) {
    const elements = countAtoms(body);
    if (elements) return { body, charge, elements };
  }
  throw new IonbookError(
    "bad-formula",
    `"${text}" is not a chemical formula: write element symbols and counts, then the charge, such as "SO4^2-" or "Ca2+"`,
  );
}

/**
 * Molar mass, g/mol: M = Σ nᵢ·Aᵢ over the elements; the mass of the electrons is below the last digit.
 *
 * @throws IonbookError "bad-formula" for an element without an atomic weight
 * @source IUPAC 2021 abridged standard atomic weights
 */
export function molarMassOf(elements: Readonly<Record<string, number>>): number {
  let mass = 0;
  for (const [symbol, count] of Object.entries(elements)) {
    const weight = atomicWeight(symbol);
    if (weight === undefined) {
      throw new IonbookError("bad-formula", `there is no element "${symbol}" in the table of atomic weights`);
    }
    mass += count * weight;
  }
  // Sums of decimals with at most four places: rounding there removes the binary dust of the additions.
  return Math.round(mass * 1e6) / 1e6;
}

/** A formula as people print it, with real sub- and superscripts: "SO₄²⁻". */
export function prettyFormula(body: string, charge: number): string {
  const low = body.replace(/\d/g, (digit) => SUBSCRIPTS[Number(digit)]);
  if (charge === 0) return low;
  const size = Math.abs(charge) === 1 ? "" : String(Math.abs(charge));
  const high = size.replace(/\d/g, (digit) => SUPERSCRIPTS[Number(digit)]);
  return `${low}${high}${charge > 0 ? "⁺" : "⁻"}`;
}

/** A formula as HTML: "SO<sub>4</sub><sup>2−</sup>". The text consists of symbols and digits only, so it is safe. */
export function htmlFormula(body: string, charge: number): string {
  const low = body.replace(/\d+/g, "<sub>$&</sub>");
  if (charge === 0) return low;
  const size = Math.abs(charge) === 1 ? "" : String(Math.abs(charge));
  return `${low}<sup>${size}${charge > 0 ? "+" : "−"}</sup>`;
}

/** A formula in plain ASCII with its charge: "SO4^2-", "Cl-"; "N3^-" where "N3-" would read as a threefold charge. */
export function asciiFormula(body: string, charge: number): string {
  if (charge === 0) return body;
  const size = Math.abs(charge) === 1 ? "" : String(Math.abs(charge));
  const mark = size !== "" || /^[A-Z][a-z]?\d+$/.test(body) ? "^" : "";
  return `${body}${mark}${size}${charge > 0 ? "+" : "-"}`;
}

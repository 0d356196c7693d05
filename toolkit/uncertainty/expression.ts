import { IonbookError } from "../errors.js";

/** What a result needs to be written out. */
export interface Expressible {
  readonly value: number;
  readonly u: number;
  readonly unit: string;
}

/** Beyond these the powers of ten are written out instead of leading or trailing zeros. */
const SMALLEST_PLAIN_EXPONENT = -3;
const LARGEST_PLAIN_EXPONENT = 6;

/**
 * A result in words for people: value ± expanded uncertainty, unit, coverage factor, for example
 * "10.02 ± 0.06 mg/L (k = 2.0)".
 *
 * The expanded uncertainty is U = k·u. Both numbers end at the second significant digit of u; a second digit
 * that would be a zero is left off where the first is 3 or more (u = 0.030 ends at the hundredths). Very small and
 * very large results take a power of ten: "(1.73 ± 0.34)·10⁻⁵ 1/K (k = 2.0)". A value without uncertainty is
 * written in full and called exact. The unit "1" is not written.
 *
 * @source JCGM 100:2008 (GUM), 7.2.4 and 7.2.6
 */
export function expandedForm(result: Expressible, coverageFactor: number): string {
  const { value, u } = result;
  const unit = result.unit === "1" ? "" : ` ${result.unit}`;
  if (u === 0) return `${value + 0}${unit} (exact)`;
  const expanded = coverageFactor * u;
  const last = lastPlace(u);
  const exponent = decimalExponent(Math.max(Math.abs(value), expanded));
  const factor = `(k = ${coverageFactor.toFixed(1)})`;
  if (exponent >= SMALLEST_PLAIN_EXPONENT && exponent <= LARGEST_PLAIN_EXPONENT) {
    return `${roundedText(value, last)} ± ${roundedText(expanded, last)}${unit} ${factor}`;
  }
  const [v, e] = [value, expanded].map((x) => roundedText(scaleByTen(x, -exponent), last - exponent));
  return `(${v} ± ${e})·10${superscript(exponent)}${unit} ${factor}`;
}

/**
 * The concise form of a result: the digits of the *standard* uncertainty in parentheses refer to the last digits
 * of the value, for example "100.02147(35) g". Where u is above 1 but has decimals the point is kept:
 * "10.5(1.2)".
 *
 * @source JCGM 100:2008 (GUM), 7.2.2
 */
export function conciseForm(result: Expressible): string {
  const unit = result.unit === "1" ? "" : ` ${result.unit}`;
  if (result.u === 0) return `${result.value + 0}${unit}`;
  const last = lastPlace(result.u, false);
  const digits =
    last < 0 && result.u < 1 ? scaleByTen(result.u, -last).toFixed(0) : roundedText(result.u, last);
  return `${roundedText(result.value, last)}(${digits})${unit}`;
}

/**
 * Value and standard uncertainty of a number in concise form: "100.02147(35)" is 100.02147 with u = 0.00035,
 * "10.5(1.2)" has u = 1.2, and a power of ten may follow: "1.602(3)e-19".
 *
 * @throws IonbookError "bad-concise-form" for any other text
 * @source JCGM 100:2008 (GUM), 7.2.2
 */
export function readConciseForm(text: string): { readonly value: number; readonly u: number } {
  const parts = /^([+-]?\d+(?:\.(\d+))?)\((\d+(?:\.\d+)?)\)(?:[eE]([+-]?\d+))?$/.exec(text.trim());
  if (!parts) {
    throw new IonbookError(
      "bad-concise-form",
      `"${text}" is not a number in concise form; write it like 100.02147(35)`,
    );
  }
  const [, value, decimals = "", digits, exponent = "0"] = parts;
  const shift = digits.includes(".") ? 0 : decimals.length;
  return { value: Number(`${value}e${exponent}`), u: Number(`${digits}e${Number(exponent) - shift}`) };
}

/** A number cut to the digits that an uncertainty u leaves it, as text: u's second significant digit is the last. */
export function roundedBy(u: number, x: number): string {
  return u === 0 ? String(x + 0) : roundedText(x, lastPlace(u));
}

/** Power of ten of the last digit worth writing for an uncertainty u. */
function lastPlace(u: number, dropZero = true): number {
  const [mantissa, exponent] = u.toExponential(1).split("e");
  const spare = dropZero && mantissa.endsWith(".0") && Number(mantissa) >= 3;
  return Number(exponent) - (spare ? 0 : 1);
}

function decimalExponent(x: number): number {
  return Number(x.toExponential().split("e")[1]);
}

function roundedText(x: number, place: number): string {
  const text =
    place <= 0
      ? x.toFixed(Math.min(100, -place))
      : scaleByTen(Math.round(scaleByTen(x, -place)), place).toFixed(0);
  return Number(text) === 0 ? text.replace("-", "") : text;
}

/** x·10ⁿ, moving the point of the decimal text so that 0.07 becomes 7 and not 7.000000000000001. */
function scaleByTen(x: number, n: number): number {
  const [mantissa, exponent] = x.toExponential().split("e");
  return Number(`${mantissa}e${Number(exponent) + n}`);
}

function superscript(n: number): string {
  return String(n).replace(/[-\d]/g, (c) => (c === "-" ? "⁻" : "⁰¹²³⁴⁵⁶⁷⁸⁹"[Number(c)]));
}

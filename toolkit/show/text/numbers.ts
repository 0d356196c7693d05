/** Narrow space that does not break: between a number and its unit, and between groups of three digits. */
export const THIN_SPACE = "\u202f";
const MINUS = "\u2212";

/** A number as its readers see it: the value and its expanded uncertainty, rounded to the same decimal. */
export interface RoundedPair {
  readonly value: string;
  /** Empty where the uncertainty is zero or unknown. */
  readonly uncertainty: string;
  /** Digits behind the decimal point; never negative. */
  readonly decimals: number;
}

/** `value` with a fixed number of decimals, a real minus sign, and digits grouped from five figures on. */
export function fixed(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return Number.isNaN(value) ? "–" : value > 0 ? "∞" : `${MINUS}∞`;
  const text = Math.abs(value).toFixed(Math.min(Math.max(decimals, 0), 20));
  const [whole, fraction] = text.split(".");
  const grouped = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, THIN_SPACE) : whole;
  const digits = fraction === undefined ? grouped : `${grouped}.${fraction}`;
  return value < 0 && Number(text) !== 0 ? MINUS + digits : digits;
}

/** `value` with a sign even where it is positive. */
export function signed(value: number, decimals: number): string {
  const text = fixed(value, decimals);
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}

/** Decimal place of the last of `figures` significant digits of `value`: 2 for 0.0456 means 0.05 at one figure. */
export function decimalsFor(value: number, figures: number): number {
  if (!Number.isFinite(value) || value === 0) return figures - 1;
  const exponent = Number(
    Math.abs(value)
      .toExponential(figures - 1)
      .split("e")[1],
  );
  return figures - 1 - exponent;
}

/** `value` with `figures` significant digits; powers of ten outside 0.0001 … 10⁷. */
export function significant(value: number, figures: number): string {
  if (!Number.isFinite(value) || value === 0) return fixed(value, 0);
  const size = Math.abs(value);
  if (size < 1e-4 || size >= 1e7) {
    const [mantissa, exponent] = size.toExponential(figures - 1).split("e");
    return `${value < 0 ? MINUS : ""}${mantissa}${THIN_SPACE}×${THIN_SPACE}10${superscript(Number(exponent))}`;
  }
  const decimals = decimalsFor(value, figures);
  return decimals >= 0 ? fixed(value, decimals) : fixed(roundTo(value, decimals), 0);
}

/** `value` with at most `figures` significant digits: zeros at the end are left off. */
export function trimmed(value: number, figures: number): string {
  const text = significant(value, figures);
  return text.includes(".") && !text.includes("×") ? text.replace(/\.?0+$/, "") : text;
}

/**
 * Value and expanded uncertainty for a reader: the uncertainty keeps two significant digits and the value ends at the
 * same decimal place. Without a usable uncertainty the value has four significant digits.
 *
 * @source JCGM 100:2008 (GUM), 7.2.6
 */
export function roundedPair(value: number, expanded: number): RoundedPair {
  if (!(expanded > 0) || !Number.isFinite(expanded)) {
    return { value: significant(value, 4), uncertainty: "", decimals: Math.max(0, decimalsFor(value, 4)) };
  }
  const place = decimalsFor(expanded, 2);
  const decimals = Math.max(0, Math.min(place, 12));
  return {
    value: fixed(roundTo(value, place), decimals),
    uncertainty: fixed(roundTo(expanded, place), decimals),
    decimals,
  };
}

/** A limit, rounded up to two significant digits so that it never promises more than it keeps. */
export function limitText(limit: number): string {
  if (!(limit > 0) || !Number.isFinite(limit)) return fixed(limit, 0);
  const place = decimalsFor(limit, 2);
  const step = 10 ** -place;
  const up = Math.ceil(limit / step - 1e-9) * step;
  return significant(up, 2);
}

/** A number with its unit behind a thin space. */
export function quantity(text: string, unit: string): string {
  return unit === "" || unit === "1" ? text : `${text}${THIN_SPACE}${unit}`;
}

/** The exponent of a power of ten, raised. */
function superscript(exponent: number): string {
  const digits = "⁰¹²³⁴⁵⁶⁷⁸⁹";
  const text = String(Math.abs(exponent)).replace(/\d/g, (digit) => digits[Number(digit)]);
  return exponent < 0 ? `⁻${text}` : text;
}

function roundTo(value: number, place: number): number {
  if (place > 300 || place < -300) return value;
  const factor = 10 ** Math.abs(place);
  return place >= 0 ? Math.round(value * factor) / factor : Math.round(value / factor) * factor;
}

const PLAIN = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;
const WITH_COMMA = /^[+-]?(?:\d+,\d*|,\d+)(?:[eE][+-]?\d+)?$/;

/**
 * The number a cell holds, or NaN where it holds anything else: no empty cell, no hexadecimal, no "Infinity",
 * no digit grouping. With `decimalComma`, "1,5" is read as 1.5; a point is read in either case.
 */
export function parseNumber(cell: string, decimalComma: boolean): number {
  const text = cell.trim();
  if (PLAIN.test(text)) return Number(text);
  if (decimalComma && WITH_COMMA.test(text)) return Number(text.replace(",", "."));
  return Number.NaN;
}

/** True for a number written with a decimal comma ("0,25"). */
export function hasDecimalComma(cell: string): boolean {
  return WITH_COMMA.test(cell.trim());
}

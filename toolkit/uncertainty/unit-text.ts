/**
 * The unit text of a product. "1" is neutral; a factor that stands last below the stroke of the other cancels
 * ("mg/L" times "L" is "mg"); all else is joined by "·" and read from left to right, as in "µS/cm·min".
 */
export function productUnit(first: string, second: string): string {
  if (first === "1") return second;
  if (second === "1") return first;
  return (
    withoutDivisor(first, second) ?? withoutDivisor(second, first) ?? `${closed(first)}·${closed(second)}`
  );
}

/**
 * The unit text of a quotient. A unit over itself is "1", over "1" it stays; a last factor cancels
 * ("µS/cm·min" over "min" is "µS/cm"); a compound divisor is put in parentheses.
 */
export function quotientUnit(first: string, second: string): string {
  if (second === "1") return first;
  if (first === second) return "1";
  const factor = `·${closed(second)}`;
  if (first.endsWith(factor)) return first.slice(0, -factor.length);
  return `${closed(first)}/${divisor(second)}`;
}

function withoutDivisor(unit: string, factor: string): string | undefined {
  const tail = `/${divisor(factor)}`;
  return unit.endsWith(tail) ? unit.slice(0, -tail.length) : undefined;
}

function divisor(unit: string): string {
  return /[/·]/.test(unit) ? `(${unit})` : closed(unit);
}

/** A text with words in it ("mg/L as N") stays one thing. */
function closed(unit: string): string {
  return /\s/.test(unit) && !unit.startsWith("(") ? `(${unit})` : unit;
}

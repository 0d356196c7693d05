/**
 * erfcx on −2 ≤ x < 4 as short Taylor series about the middles of 192 equal intervals: twice the speed of a rational
 * form where it matters most, inside peak shapes. The series follow from erfcx′(x) = 2x·erfcx(x) − 2/√π; their first
 * neglected term is below 1e-16 of the value.
 */
export const TABLE_FROM = -2;
export const TABLE_TO = 4;

const PER_UNIT = 32;
const INTERVALS = (TABLE_TO - TABLE_FROM) * PER_UNIT;
const TERMS = 9;
const TWO_OVER_SQRT_PI = 1.1283791670955126;

/** @param exact a slower erfcx, good to the last digits, asked once for each middle */
export function buildErfcxTable(exact: (x: number) => number): Float64Array {
  const table = new Float64Array(INTERVALS * TERMS);
  for (let k = 0; k < INTERVALS; k++) {
    const middle = TABLE_FROM + (k + 0.5) / PER_UNIT;
    const at = k * TERMS;
    table[at] = exact(middle);
    table[at + 1] = 2 * middle * table[at] - TWO_OVER_SQRT_PI;
    // The derivative of the equation, order by order: n·aₙ = 2·(x·aₙ₋₁ + aₙ₋₂).
    for (let n = 2; n < TERMS; n++)
      table[at + n] = (2 * (middle * table[at + n - 1] + table[at + n - 2])) / n;
  }
  return table;
}

/** erfcx(x) for TABLE_FROM ≤ x < TABLE_TO. */
export function lookUpErfcx(table: Float64Array, x: number): number {
  const position = (x - TABLE_FROM) * PER_UNIT;
  const k = position | 0;
  const u = (position - k - 0.5) / PER_UNIT;
  const a = k * TERMS;
  const u2 = u * u;
  const u4 = u2 * u2;
  // In pairs rather than one long chain, so that the processor can work on several at once.
  const low = table[a] + table[a + 1] * u + u2 * (table[a + 2] + table[a + 3] * u);
  const high = table[a + 4] + table[a + 5] * u + u2 * (table[a + 6] + table[a + 7] * u);
  return low + u4 * (high + u4 * table[a + 8]);
}

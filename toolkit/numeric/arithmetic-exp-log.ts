/**
 * Exponential and logarithm built from + − × ÷ alone. Those four are rounded identically by every engine,
 * `Math.exp` and `Math.log` are not: noise drawn with these is the same to the last bit everywhere.
 * Accurate to a few units in the last place; slower than `Math`, so kept for tables and rare branches.
 */

// ln 2 cut after 33 bits, so that k·LN2_HIGH is exact, and its remainder.
const LN2_HIGH = 0.6931471803691238;
const LN2_LOW = 1.9082149292705877e-10;

/**
 * e^x for −700 ≤ x ≤ 700: x = k·ln 2 + r, a Taylor series in r/16 (|r/16| < 0.022), four squarings, k doublings.
 */
export function arithmeticExp(x: number): number {
  const k = Math.round(x / (LN2_HIGH + LN2_LOW));
  const r = (x - k * LN2_HIGH - k * LN2_LOW) / 16;
  // expm1 rather than exp is squared: the squarings of 1 + s would each lose a bit of s.
  let s = r * (1 + (r / 2) * (1 + (r / 3) * (1 + (r / 4) * (1 + (r / 5) * (1 + (r / 6) * (1 + r / 7))))));
  for (let i = 0; i < 4; i++) s = s * (2 + s);
  return (1 + s) * powerOfTwo(k);
}

/** ln x for normal positive x: x = m·2^k with m in [√½, √2), then 2·atanh((m − 1)/(m + 1)) by its series. */
export function arithmeticLog(x: number): number {
  let m = x;
  let k = 0;
  while (m >= Math.SQRT2) {
    m /= 2;
    k++;
  }
  while (m < Math.SQRT1_2) {
    m *= 2;
    k--;
  }
  const s = (m - 1) / (m + 1);
  const square = s * s;
  let sum = 0;
  for (let n = 23; n >= 3; n -= 2) sum = (sum + 1 / n) * square;
  return k * LN2_HIGH + (2 * s * (1 + sum) + k * LN2_LOW);
}

function powerOfTwo(k: number): number {
  let result = 1;
  const factor = k < 0 ? 0.5 : 2;
  for (let i = Math.abs(k); i > 0; i--) result *= factor;
  return result;
}

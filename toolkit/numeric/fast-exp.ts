/** Half-width of the tabled range. */
const REACH = 64;
const PER_UNIT = 8;

/** e^x at every eighth from −REACH to REACH. */
const eighths = Float64Array.from({ length: 2 * REACH * PER_UNIT + 1 }, (_, k) =>
  Math.exp(k / PER_UNIT - REACH),
);

/**
 * e^x, relative error below 5e-16: from a table times a Taylor series (|r| ≤ 1/16, next term 4e-17) for |x| < 64,
 * at two to three times the speed of `Math.exp`, which serves the rest. For peak shapes, where exponentials take most
 * of the time.
 */
export function fastExp(x: number): number {
  if (!(x > -REACH && x < REACH)) return Math.exp(x);
  const k = ((x + REACH) * PER_UNIT + 0.5) | 0;
  const r = x - (k / PER_UNIT - REACH);
  const r2 = r * r;
  const low = 1 + r + r2 * (1 / 2 + r * (1 / 6));
  const high = 1 / 24 + r * (1 / 120) + r2 * (1 / 720 + r * (1 / 5040) + r2 * (1 / 40320));
  return eighths[k] * (low + r2 * r2 * high);
}

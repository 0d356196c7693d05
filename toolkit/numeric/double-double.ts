import { productError, sumError } from "./exact-product.js";

/**
 * A number kept as an unevaluated sum of two doubles, about 32 decimal digits. Slow (20 operations each) but exact
 * enough that ill-conditioned sums of a few hundred points round to the right double at the end.
 *
 * @source T. J. Dekker, Numer. Math. 18 (1971) 224–242; Y. Hida, X. S. Li, D. H. Bailey, "Algorithms for
 *   quad-double precision floating point arithmetic", 15th IEEE Symposium on Computer Arithmetic, 2001
 */
export interface DoubleDouble {
  readonly high: number;
  readonly low: number;
}

export const ZERO: DoubleDouble = { high: 0, low: 0 };

export function doubled(value: number): DoubleDouble {
  return { high: value, low: 0 };
}

export function add(a: DoubleDouble, b: DoubleDouble): DoubleDouble {
  const high = a.high + b.high;
  const tail = a.low + b.low;
  const error = sumError(a.high, b.high, high);
  // The two low parts are added with their own error kept: differences of near-equal numbers stay good.
  return renormalise(high, error, tail, sumError(a.low, b.low, tail));
}

export function subtract(a: DoubleDouble, b: DoubleDouble): DoubleDouble {
  return add(a, { high: -b.high, low: -b.low });
}

export function multiply(a: DoubleDouble, b: DoubleDouble): DoubleDouble {
  const product = a.high * b.high;
  return normalised(product, productError(a.high, b.high, product) + (a.high * b.low + a.low * b.high));
}

export function divide(a: DoubleDouble, b: DoubleDouble): DoubleDouble {
  const first = a.high / b.high;
  const rest = subtract(a, multiply(b, doubled(first)));
  const second = rest.high / b.high;
  const last = subtract(rest, multiply(b, doubled(second)));
  return add(normalised(first, second), doubled(last.high / b.high));
}

/** √a for a > 0: one Newton step in doubled precision on the rounded root. */
export function squareRoot(a: DoubleDouble): DoubleDouble {
  const root = Math.sqrt(a.high);
  const rest = subtract(a, multiply(doubled(root), doubled(root)));
  return normalised(root, rest.high / (2 * root));
}

export function toNumber(a: DoubleDouble): number {
  return a.high + a.low;
}

function renormalise(high: number, error: number, tail: number, tailError: number): DoubleDouble {
  const first = normalised(high, error + tail);
  return normalised(first.high, first.low + tailError);
}

/** Needs |a| ≥ |b|, or a = 0. */
function normalised(a: number, b: number): DoubleDouble {
  const sum = a + b;
  return { high: sum, low: b - (sum - a) };
}

/** Veltkamp's constant 2²⁷ + 1: cuts a double into two halves of 26 bits. */
const SPLITTER = 134217729;

/**
 * a·b − `product`, exactly, where `product` is the rounded a·b: no bit of the product is lost when both are kept.
 * @param a, b below 1e300 in size, so that splitting does not overflow
 * @source T. J. Dekker, Numer. Math. 18 (1971) 224–242
 */
export function productError(a: number, b: number, product: number): number {
  const aSplit = SPLITTER * a;
  const aHigh = aSplit - (aSplit - a);
  const aLow = a - aHigh;
  const bSplit = SPLITTER * b;
  const bHigh = bSplit - (bSplit - b);
  const bLow = b - bHigh;
  return aLow * bLow - (product - aHigh * bHigh - aLow * bHigh - aHigh * bLow);
}

/**
 * a + b − `sum`, exactly, where `sum` is the rounded a + b.
 * @source D. E. Knuth, The Art of Computer Programming, vol. 2, §4.2.2
 */
export function sumError(a: number, b: number, sum: number): number {
  const bVirtual = sum - a;
  return a - (sum - bVirtual) + (b - bVirtual);
}

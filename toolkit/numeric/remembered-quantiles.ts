/** As many as the designs of a day ask for again and again; the oldest goes first. */
const KEPT = 48;

/** A quantile of a distribution with up to two shapes. */
export type Quantile = (p: number, first: number, second: number) => number;

/**
 * The same quantile, computed once for each set of arguments asked for of late: a root of an incomplete beta function
 * costs some hundred times the look-up, and one table of standards asks for the same few again and again.
 */
export function remembered(quantile: Quantile): Quantile {
  const asked = new Float64Array(3 * KEPT).fill(Number.NaN);
  const found = new Float64Array(KEPT);
  let next = 0;
  return (p, first, second) => {
    for (let i = 0, at = 0; i < KEPT; i++, at += 3) {
      if (asked[at] === p && asked[at + 1] === first && asked[at + 2] === second) return found[i];
    }
    const value = quantile(p, first, second);
    const at = 3 * next;
    asked[at] = p;
    asked[at + 1] = first;
    asked[at + 2] = second;
    found[next] = value;
    next = (next + 1) % KEPT;
    return value;
  };
}

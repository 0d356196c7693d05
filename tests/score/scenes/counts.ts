/** The chance that a right product fails one limit of a small run. */
export const RISK = 1e-3;

/**
 * How many of n may hit at most when each does with probability p: the least k with P(X > k) ≤ RISK, X binomial.
 * Ask for at least m by counting what does not hit.
 */
export function mostHits(n: number, p: number): number {
  let term = (1 - p) ** n;
  let sum = term;
  let k = 0;
  while (1 - sum > RISK && k < n) {
    term *= ((n - k) / (k + 1)) * (p / (1 - p));
    sum += term;
    k++;
  }
  return k;
}

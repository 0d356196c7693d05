import { IonbookError } from "../errors.js";
import { sumError } from "./exact-product.js";

/**
 * The arithmetic mean, summed with its rounding errors carried along. O(n).
 * @throws IonbookError "too-few-points" without values
 */
export function mean(values: ArrayLike<number>): number {
  requireCount(values, 1, "A mean");
  const rough = compensatedSum(values, (value) => value) / values.length;
  return rough + compensatedSum(values, (value) => value - rough) / values.length;
}

/**
 * The sample standard deviation √(Σ(x − x̄)²/(n − 1)), in units of x, in two passes, with the rounding of the mean
 * taken out. O(n).
 * @throws IonbookError "too-few-points" for fewer than two values
 * @source T. F. Chan, G. H. Golub, R. J. LeVeque, Am. Statist. 37 (1983) 242–247
 */
export function standardDeviation(values: ArrayLike<number>): number {
  requireCount(values, 2, "A standard deviation");
  const centre = mean(values);
  const squares = compensatedSum(values, (value) => (value - centre) ** 2);
  const drift = compensatedSum(values, (value) => value - centre);
  return Math.sqrt((squares - (drift * drift) / values.length) / (values.length - 1));
}

/**
 * The autocorrelation Σ(xᵢ − x̄)(xᵢ₊ₖ − x̄)/Σ(xᵢ − x̄)² at lag k, −1 to 1; NaN when the values do not vary. O(n).
 * @param lag k, 0 ≤ k < n
 * @throws IonbookError "too-few-points" for fewer than k + 1 values, "out-of-domain" for a lag that is not whole
 * @source NIST/SEMATECH e-Handbook §1.3.5.12
 */
export function autocorrelation(values: ArrayLike<number>, lag: number): number {
  if (!(Number.isInteger(lag) && lag >= 0)) {
    throw new IonbookError("out-of-domain", `autocorrelation needs a whole lag from 0, not ${lag}`);
  }
  requireCount(values, lag + 1, "An autocorrelation");
  const centre = mean(values);
  let products = 0;
  let squares = 0;
  for (let i = 0; i < values.length; i++) {
    squares += (values[i] - centre) ** 2;
    if (i + lag < values.length) products += (values[i] - centre) * (values[i + lag] - centre);
  }
  return products / squares;
}

/** Neumaier's sum: the part that each addition loses is kept aside. */
function compensatedSum(values: ArrayLike<number>, term: (value: number) => number): number {
  let sum = 0;
  let lost = 0;
  for (let i = 0; i < values.length; i++) {
    const added = term(values[i]);
    const next = sum + added;
    lost += sumError(sum, added, next);
    sum = next;
  }
  return sum + lost;
}

function requireCount(values: ArrayLike<number>, least: number, what: string): void {
  if (values.length < least) {
    throw new IonbookError("too-few-points", `${what} needs at least ${least} values, not ${values.length}`);
  }
}

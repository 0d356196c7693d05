import { IonbookError } from "../errors.js";
import { requirePositive } from "./domain.js";
import { log1pMinus, stirlingCorrection } from "./gamma-function.js";

const EPSILON = 2 ** -53;
const TINY = 1e-300;
/** The fraction needs about √max(a, b) steps; this covers shapes up to 1e12 or so. */
const MOST_STEPS = 2_000_000;

/**
 * I_x(a, b) = ∫₀ˣ t^(a−1)·(1 − t)^(b−1) dt / B(a, b), relative error about 1e-13 for shapes up to 1e5.
 * @param x 0 to 1
 * @param a, b shapes, above zero
 * @throws IonbookError "out-of-domain"
 * @source DLMF §8.17.22 (continued fraction), evaluated by the modified Lentz method
 */
export function regularizedBeta(x: number, a: number, b: number): number {
  if (!(x >= 0 && x <= 1)) {
    throw new IonbookError("out-of-domain", `regularizedBeta needs x from 0 to 1, not ${x}`);
  }
  return regularizedBetaOf(x, 1 - x, a, b);
}

/**
 * I_x(a, b) for callers who know 1 − x better than the subtraction would give it.
 * @param x, y two numbers from 0 to 1 with x + y = 1
 */
export function regularizedBetaOf(x: number, y: number, a: number, b: number): number {
  requirePositive(a, "a", "regularizedBeta");
  requirePositive(b, "b", "regularizedBeta");
  if (x <= 0) return 0;
  if (y <= 0) return 1;
  const front = betaDensity(x, y, a, b);
  // The fraction converges fast on its own side of the mean; the other side is the complement.
  return x * (a + b + 2) < a + 1 ? (front * fraction(x, a, b)) / a : 1 - (front * fraction(y, b, a)) / b;
}

/** x^a·y^b/B(a, b), through the distance of x from the mean a/(a + b) so that large shapes lose no digits. */
export function betaDensity(x: number, y: number, a: number, b: number): number {
  const sum = a + b;
  const offset = x < y ? x * sum - a : b - y * sum;
  const exponent =
    a * log1pMinus(offset / a, (x * sum) / a) +
    b * log1pMinus(-offset / b, (y * sum) / b) +
    stirlingCorrection(sum) -
    stirlingCorrection(a) -
    stirlingCorrection(b);
  return Math.sqrt((a * b) / (2 * Math.PI * sum)) * Math.exp(exponent);
}

function fraction(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1) || TINY);
  let h = d;
  for (let m = 1; m <= MOST_STEPS; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d || TINY);
    c = 1 + even / c || TINY;
    h *= c * d;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d || TINY);
    c = 1 + odd / c || TINY;
    const change = c * d;
    h *= change;
    if (Math.abs(change - 1) <= 2 * EPSILON) return h;
  }
  throw new IonbookError(
    "no-convergence",
    `The incomplete beta function does not converge for shapes ${a} and ${b}`,
  );
}

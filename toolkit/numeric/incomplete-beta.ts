import { IonbookError } from "../errors.js";
import { requirePositive } from "./domain.js";
import { log1pMinus, stirlingCorrection } from "./gamma-function.js";

const EPSILON = 2 ** -53;
const TINY = 1e-300;
/** The fraction needs about √max(a, b) steps; this covers shapes up to 1e12 or so. */
const MOST_STEPS = 2_000_000;

/**
 * I_x(a, b) = ∫₀ˣ t^(a−1)·(1 − t)^(b−1) dt / B(a, b), relative error about 1e-13.
 * @param x 0 to 1
 * @param a, b shapes, above zero
 * @throws IonbookError "out-of-domain"
 * @source A. R. DiDonato, A. H. Morris, Algorithm 708, ACM Trans. Math. Softw. 18 (1992) 360–373 (their continued
 *   fraction, eq. 9), evaluated by the modified Lentz method
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
  // a − (a + b)·x, above zero where x lies below the mean: there the fraction converges, else take the complement.
  const below = meanOffset(x, y, a, b);
  return below >= 0 ? front / fraction(x, y, a, b, below) : 1 - front / fraction(y, x, b, a, -below);
}

function meanOffset(x: number, y: number, a: number, b: number): number {
  return x < y ? a - (a + b) * x : (a + b) * y - b;
}

/** x^a·y^b/B(a, b), through the distance of x from the mean a/(a + b) so that large shapes lose no digits. */
export function betaDensity(x: number, y: number, a: number, b: number): number {
  const sum = a + b;
  const offset = -meanOffset(x, y, a, b);
  const exponent =
    a * log1pMinus(offset / a, (x * sum) / a) +
    b * log1pMinus(-offset / b, (y * sum) / b) +
    stirlingCorrection(sum) -
    stirlingCorrection(a) -
    stirlingCorrection(b);
  return Math.sqrt((a * b) / (2 * Math.PI * sum)) * Math.exp(exponent);
}

/**
 * β₀ + α₁/(β₁ + α₂/(β₂ + …)), whose terms do not cancel for large shapes; steps about √max(a, b) near the mean, a
 * few elsewhere.
 */
function fraction(x: number, y: number, a: number, b: number, below: number): number {
  let value = (a * (below + 1)) / (a + 1);
  let c = value;
  let d = 0;
  for (let m = 1; m <= MOST_STEPS; m++) {
    const odd = a + 2 * m - 1;
    const alpha = (((a + m - 1) * (a + b + m - 1)) / odd) * ((m * (b - m) * x * x) / odd);
    const beta = m + (m * (b - m) * x) / odd + ((a + m) * (below + 1 + m * (1 + y))) / (odd + 2);
    d = 1 / (beta + alpha * d || TINY);
    c = beta + alpha / c || TINY;
    const change = c * d;
    value *= change;
    if (Math.abs(change - 1) <= 2 * EPSILON) return value;
  }
  throw new IonbookError(
    "no-convergence",
    `The incomplete beta function does not converge for shapes ${a} and ${b}`,
  );
}

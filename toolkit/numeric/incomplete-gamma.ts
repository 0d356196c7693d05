import { IonbookError } from "../errors.js";
import { requireNumber, requirePositive } from "./domain.js";
import { log1pMinus, stirlingCorrection } from "./gamma-function.js";

const EPSILON = 2 ** -53;
const TINY = 1e-300;
/** The fraction needs about √a steps near x = a. */
const MOST_STEPS = 2_000_000;

/**
 * P(a, x) = ∫₀ˣ t^(a−1)·e^(−t) dt / Γ(a), relative error about 1e-14.
 * @param a shape, above zero
 * @param x from 0 to Infinity; below 0 the result is 0
 * @throws IonbookError "out-of-domain"
 * @source DLMF §8.7.1 (series, x < a + 1) and §8.9.2 (continued fraction)
 */
export function regularizedGammaP(a: number, x: number): number {
  checkArguments(a, x, "regularizedGammaP");
  if (x <= 0) return 0;
  return x < a + 1 ? lowerBySeries(a, x) : 1 - upperByFraction(a, x);
}

/**
 * Q(a, x) = 1 − P(a, x), precise in the upper tail too.
 * @throws IonbookError "out-of-domain"
 */
export function regularizedGammaQ(a: number, x: number): number {
  checkArguments(a, x, "regularizedGammaQ");
  if (x <= 0) return 1;
  return x < a + 1 ? 1 - lowerBySeries(a, x) : upperByFraction(a, x);
}

function checkArguments(a: number, x: number, what: string): void {
  requirePositive(a, "a", what);
  if (a === Infinity) throw new IonbookError("out-of-domain", `${what} needs a finite shape a`);
  requireNumber(x, "x", what);
}

/** x^a·e^(−x)/Γ(a), through the distance of x from a so that large a lose no digits. */
export function gammaDensity(a: number, x: number): number {
  if (x === Infinity) return 0;
  return Math.sqrt(a / (2 * Math.PI)) * Math.exp(a * log1pMinus((x - a) / a, x / a) - stirlingCorrection(a));
}

function lowerBySeries(a: number, x: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; term > sum * EPSILON; n++) {
    term *= x / (a + n);
    sum += term;
  }
  return sum * gammaDensity(a, x);
}

/** Modified Lentz evaluation of the even part of the continued fraction. */
function upperByFraction(a: number, x: number): number {
  if (x === Infinity) return 0;
  let b = x + 1 - a;
  let c = 1 / TINY;
  let d = 1 / b;
  let h = d;
  for (let i = 1; i <= MOST_STEPS; i++) {
    const numerator = -i * (i - a);
    b += 2;
    d = 1 / (numerator * d + b || TINY);
    c = b + numerator / c || TINY;
    const change = c * d;
    h *= change;
    if (Math.abs(change - 1) <= 2 * EPSILON) return h * gammaDensity(a, x);
  }
  throw new IonbookError(
    "no-convergence",
    `The incomplete gamma function does not converge at a = ${a}, x = ${x}`,
  );
}

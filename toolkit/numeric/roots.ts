import { IonbookError } from "../errors.js";

/** How close is close enough; both default to the last digits of double precision. */
export interface RootOptions {
  /** Relative width of the final bracket. @default 2⁻⁵² */
  readonly relativeTolerance?: number;
  /** Absolute width of the final bracket. @default 0 */
  readonly absoluteTolerance?: number;
}

const EPSILON = 2 ** -52;
const MOST_STEPS = 200;
const GOLDEN = (3 - Math.sqrt(5)) / 2;

/**
 * A root of `f` between `low` and `high`, by Brent's method: inverse quadratic steps, bisection where they fail.
 *
 * @param f continuous, of different sign at the two ends (or 0 at one)
 * @throws IonbookError "no-sign-change" when the ends do not bracket a root
 * @source R. P. Brent, Algorithms for Minimization without Derivatives, Prentice-Hall 1973, ch. 4
 */
export function brentRoot(
  f: (x: number) => number,
  low: number,
  high: number,
  options: RootOptions = {},
): number {
  const { relativeTolerance = EPSILON, absoluteTolerance = 0 } = options;
  // b is the best estimate, c the end on the other side of the root, a the estimate before b.
  let a = low;
  let b = high;
  let fa = f(a);
  let fb = f(b);
  requireSignChange(low, fa, high, fb);
  let c = a;
  let fc = fa;
  let step = b - a;
  let stepBefore = step;
  for (let i = 0; i < MOST_STEPS; i++) {
    if (fb > 0 === fc > 0) {
      c = a;
      fc = fa;
      step = b - a;
      stepBefore = step;
    }
    if (Math.abs(fc) < Math.abs(fb)) {
      [a, b, c] = [b, c, b];
      [fa, fb, fc] = [fb, fc, fb];
    }
    const wanted = 0.5 * (relativeTolerance * Math.abs(b) + absoluteTolerance);
    const tolerance = Math.max(EPSILON * Math.abs(b), wanted);
    const half = (c - b) / 2;
    if (Math.abs(half) <= tolerance || fb === 0) return b;
    const useful = Math.abs(stepBefore) >= tolerance && Math.abs(fa) > Math.abs(fb);
    const proposed = useful ? interpolate(a, b, c, fa, fb, fc) : Number.NaN;
    const most = Math.min(1.5 * Math.abs(half) - tolerance / 2, Math.abs(stepBefore) / 2);
    // The step must point into the bracket, shrink it, and shrink faster than the one before last.
    const taken = Math.abs(proposed) < most && proposed > 0 === half > 0;
    stepBefore = taken ? step : half;
    step = taken ? proposed : half;
    a = b;
    fa = fb;
    b += Math.abs(step) > tolerance ? step : Math.sign(half) * Math.max(tolerance, Number.MIN_VALUE);
    fb = f(b);
  }
  return b;
}

function requireSignChange(low: number, fLow: number, high: number, fHigh: number): void {
  if (Math.sign(fLow) * Math.sign(fHigh) <= 0) return;
  throw new IonbookError(
    "no-sign-change",
    `No sign change between ${low} (${fLow}) and ${high} (${fHigh}): widen the search`,
  );
}

/** The secant (two points) or inverse quadratic (three points) step from b. */
function interpolate(a: number, b: number, c: number, fa: number, fb: number, fc: number): number {
  const s = fb / fa;
  if (a === c) return (s * (c - b)) / (s - 1);
  const q = fa / fc;
  const r = fb / fc;
  const p = s * ((c - b) * q * (q - r) - (b - a) * (r - 1));
  return -p / ((q - 1) * (r - 1) * (s - 1));
}

/**
 * Where `f` is smallest between `low` and `high`, by golden section: one call of `f` for each 38 % of the bracket.
 *
 * @param f with a single minimum there (otherwise a local one is found)
 * @param options a minimum is only defined to about √(2⁻⁵²) of its place, which is the default tolerance
 * @source J. Kiefer, Proc. Amer. Math. Soc. 4 (1953) 502–506
 */
export function goldenSection(
  f: (x: number) => number,
  low: number,
  high: number,
  options: RootOptions = {},
): number {
  const { relativeTolerance = 1e-8, absoluteTolerance = 0 } = options;
  let a = low;
  let b = high;
  let left = a + GOLDEN * (b - a);
  let right = b - GOLDEN * (b - a);
  let fLeft = f(left);
  let fRight = f(right);
  for (
    let i = 0;
    i < MOST_STEPS && b - a > relativeTolerance * Math.abs((a + b) / 2) + absoluteTolerance;
    i++
  ) {
    if (fLeft <= fRight) {
      b = right;
      right = left;
      fRight = fLeft;
      left = a + GOLDEN * (b - a);
      fLeft = f(left);
    } else {
      a = left;
      left = right;
      fLeft = fRight;
      right = b - GOLDEN * (b - a);
      fRight = f(right);
    }
  }
  return fLeft <= fRight ? left : right;
}

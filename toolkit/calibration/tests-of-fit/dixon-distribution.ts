import { IonbookError } from "../../errors.js";
import { brentRoot } from "../../numeric/roots.js";
import { normalCdf } from "../../numeric/special-functions.js";
import { requireCritical } from "./require-critical.js";

/** Where the integrand falls like a normal density a plain grid is exact; from the edge at 0 on, Simpson's rule. */
const STEP = 0.4;
const REACH = 5.2;
const INTERVALS = 80;
const WIDEST = 10;
const MOST = 30;

/**
 * Probability that the gap at one chosen end of n normal readings is more than r of their range, P(r₁₀ > r):
 *
 *     n(n − 1) ∫∫ φ(x)·φ(x − v)·[Φ(x − rv) − Φ(x − v)]ⁿ⁻² dv dx,   v > 0
 *
 * x the outer reading, v the range: all others lie between x − v and x − rv. Six digits.
 *
 * @throws IonbookError "too-few-readings", "too-many-readings"
 * @source derived; form as W. J. Dixon, Ann. Math. Statist. 22 (1951) 68
 */
export function dixonProbability(r: number, n: number): number {
  if (!(n >= 3)) throw new IonbookError("too-few-readings", `Dixon's test needs three readings, not ${n}`);
  if (n > MOST) {
    throw new IonbookError(
      "too-many-readings",
      `Dixon's test is for up to ${MOST} readings, not ${n}: use grubbsTest`,
    );
  }
  if (r <= 0) return 1;
  if (r >= 1) return 0;
  // φ(x)φ(x − v) = exp(−t² − v²/4)/2π about the middle, t = x − v/2.
  let sum = 0;
  for (let i = 1; i < INTERVALS; i++) {
    const v = (i * WIDEST) / INTERVALS;
    const factor = (i % 2 === 0 ? 2 : 4) * Math.exp(-0.25 * v * v);
    for (let t = -REACH; t <= REACH; t += STEP) {
      const x = t + v / 2;
      const inside = normalCdf(x - r * v) - normalCdf(x - v);
      if (inside > 0) sum += factor * Math.exp(-t * t) * inside ** (n - 2);
    }
  }
  return Math.min(1, (n * (n - 1) * sum * STEP * WIDEST) / (3 * INTERVALS * 2 * Math.PI));
}

const known = new Map<string, number>();

/**
 * Critical value of Dixon's r₁₀ for a test at either end: P(r₁₀ > r) = α/2.
 * @throws IonbookError "bad-level", "not-a-number", "too-few-readings", "too-many-readings"
 * @source D. B. Rorabacher, Anal. Chem. 63 (1991) 139 (levels); values by `dixonProbability`
 */
export function dixonCritical(alpha: number, n: number): number {
  const key = `${alpha} ${n}`;
  let found = known.get(key);
  if (found === undefined) {
    requireCritical("dixonCritical", alpha, [["the number of readings", n, 3, 30]]);
    found = brentRoot((r) => dixonProbability(r, n) - alpha / 2, 0, 1, { absoluteTolerance: 1e-6 });
    known.set(key, found);
  }
  return found;
}

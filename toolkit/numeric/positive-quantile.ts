import { brentRoot } from "./roots.js";

/**
 * The x > 0 at which a distribution of positive values has the lower probability p, found on the scale of ln x and
 * of the logarithm of the smaller tail, where quantiles are nearly straight and keep their relative precision.
 *
 * @param lower, upper the two tails, each precise where it is small
 * @param start any positive guess of the right order
 */
export function positiveQuantile(
  p: number,
  lower: (x: number) => number,
  upper: (x: number) => number,
  start: number,
): number {
  if (p === 0) return 0;
  if (p === 1) return Infinity;
  const miss =
    p <= 0.5
      ? (s: number) => Math.log(lower(Math.exp(s))) - Math.log(p)
      : (s: number) => Math.log1p(-p) - Math.log(upper(Math.exp(s)));
  const [low, high] = bracket((s) => miss(s) < 0, Math.log(start));
  // ln x is wanted to 1e-16 absolute, so that x is good to 1e-16 relative.
  return Math.exp(brentRoot((s) => clamp(miss(s)), low, high, { absoluteTolerance: 2e-16 }));
}

/** Walks from `start`, doubling the stride, until it stands on the other side of the root. */
function bracket(isBelow: (s: number) => boolean, start: number): [number, number] {
  const direction = isBelow(start) ? 1 : -1;
  let near = start;
  for (let stride = 0.5; ; stride *= 2) {
    const far = near + direction * stride;
    if (Math.abs(far) > 745 || isBelow(far) !== direction > 0)
      return direction > 0 ? [near, far] : [far, near];
    near = far;
  }
}

/** A tail of exactly 0 has no logarithm to interpolate with; any large number of the right sign will do. */
function clamp(miss: number): number {
  return Math.max(-1e3, Math.min(1e3, miss));
}

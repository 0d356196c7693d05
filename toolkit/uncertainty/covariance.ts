import type { MeasuredValue } from "./value.js";

/**
 * Covariance of two values, in the product of their units: Σ aᵢ·bᵢ over the sources they share; 0 where they share
 * none.
 *
 * @source JCGM 100:2008 (GUM), F.1.2.3, equation (F.2)
 */
export function covariance(a: MeasuredValue, b: MeasuredValue): number {
  if (a.sources === b.sources) return dot(a.contributions, b.contributions);
  const [few, many] = a.sources.length <= b.sources.length ? [a, b] : [b, a];
  const index = new Map<string, number>();
  few.sources.forEach((source, i) => {
    index.set(source.key, i);
  });
  let sum = 0;
  for (let i = 0; i < many.sources.length; i++) {
    const at = index.get(many.sources[i].key);
    if (at !== undefined) sum += many.contributions[i] * few.contributions[at];
  }
  return sum;
}

/**
 * Correlation coefficient of two values, −1 to 1: cov(a, b)/(u(a)·u(b)); exactly 1 for a value with itself, 0 where
 * one of them has no uncertainty.
 *
 * @source JCGM 100:2008 (GUM), 5.2.2, equation (14)
 */
export function correlation(a: MeasuredValue, b: MeasuredValue): number {
  if (a.u === 0 || b.u === 0) return 0;
  const product = Math.sqrt(dot(a.contributions, a.contributions) * dot(b.contributions, b.contributions));
  return Math.min(1, Math.max(-1, covariance(a, b) / product));
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

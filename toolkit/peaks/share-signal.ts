/** How well the fit knows who owns the signal where two peaks overlap, relative to the part both claim. */
export const SHARING = 0.05;

/**
 * Part of the signal that belongs to one of several overlapping peaks: at every sample the share that its fitted
 * curve has in the sum of all fitted curves. So the fit only decides who owns what; what it cannot follow (a slow
 * tail, a flattened top) is still counted, as it is for a peak that is summed.
 */
export function shareOf(
  y: Float64Array,
  components: readonly Float64Array[],
  which: number,
  from: number,
  to: number,
) {
  const weights = new Float64Array(Math.max(to - from + 1, 1));
  let area = 0;
  let contested = 0;
  for (let i = Math.max(from, 0); i <= Math.min(to, y.length - 1); i++) {
    let total = 0;
    for (const c of components) total += c[i];
    const share = total > 0 ? components[which][i] / total : 1 / components.length;
    weights[i - from] = share;
    area += share * y[i];
    contested += share * (1 - share) * Math.abs(y[i]);
  }
  return { area, weights, contested };
}

/** Sum over a stretch, as far as it lies inside. */
export function sumOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = Math.max(from, 0); i <= Math.min(to, values.length - 1); i++) sum += values[i];
  return sum;
}

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

/** Below this share of its area what another peak claims of it is not worth the fit's weights. */
const UNCONTESTED = 1e-5;

/** A fit as far as it decides who owns what. */
export interface Ownership {
  readonly peaks: readonly { readonly area: number }[];
  areaWeights(k: number): Float64Array;
}

/**
 * How a shared area depends on every reading of the window:
 *
 *     δA = Σ sₖδy + Σₘ Cₖₘ·(δaₖ/aₖ − δaₘ/aₘ),   Cₖₘ = Σ y·sₖ·sₘ
 *
 * The readings move it directly, and by moving the fitted areas aₘ they move the shares s = aₖgₖ/Σaₘgₘ. Where nothing
 * is contested only the first part is left; what the fit takes from one peak it gives to the other in the second.
 *
 * @source derivative of the share (derived)
 */
export function shareResponse(
  y: Float64Array,
  components: readonly Float64Array[],
  which: number,
  { first, weights }: { readonly first: number; readonly weights: Float64Array },
  fit: Ownership,
): Float64Array {
  const out = new Float64Array(y.length);
  out.set(weights.subarray(0, y.length - first), first);
  const owned = (m: number) => fit.peaks[m].area > 0;
  if (!owned(which)) return out;
  let own = 0;
  for (let m = 0; m < components.length; m++) {
    if (m === which || !owned(m)) continue;
    const contested = contestedWith(y, components, m, first, weights);
    if (contested < UNCONTESTED * fit.peaks[which].area) continue;
    own += contested;
    addScaled(out, fit.areaWeights(m), -contested / fit.peaks[m].area);
  }
  if (own > 0) addScaled(out, fit.areaWeights(which), own / fit.peaks[which].area);
  return out;
}

function contestedWith(
  y: Float64Array,
  components: readonly Float64Array[],
  other: number,
  first: number,
  weights: Float64Array,
): number {
  let sum = 0;
  for (let i = first; i < Math.min(first + weights.length, y.length); i++) {
    let total = 0;
    for (const c of components) total += c[i];
    if (total > 0) sum += (weights[i - first] * Math.max(y[i], 0) * components[other][i]) / total;
  }
  return sum;
}

function addScaled(out: Float64Array, values: Float64Array, factor: number): void {
  for (let i = 0; i < out.length; i++) out[i] += factor * values[i];
}

/** Sum over a stretch, as far as it lies inside. */
export function sumOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = Math.max(from, 0); i <= Math.min(to, values.length - 1); i++) sum += values[i];
  return sum;
}

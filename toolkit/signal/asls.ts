import { type ReweightedBaseline, type ReweightOptions, settleWeights } from "./reweighted.js";

/** Weight of a sample above the curve; below it 1 − p (common practice, no source). */
const P = 0.001;

/**
 * Baseline by asymmetric least squares (AsLS): weight p above the curve, 1 − p below, p = 0.001, until no sample changes
 * sides.
 *
 * Offered for comparison, never the default. It rides the lower edge of the noise, so every peak gains, and the weight p
 * of a giant peak still pulls: on simulated records trace peaks gained 25 % (median) on flat baselines, 36 % on gradients,
 * and beside a 1000 µS/cm peak their areas were wrong 40-fold, where arPLS stayed within 3 %.
 *
 * @param y evenly sampled signal, any unit, at least 3 points
 * @param lambda stiffness, see `stiffnessFor`
 * @source Eilers and Boelens 2005 (from memory); p = 0.001 is common practice, no source
 */
export function asls(y: Float64Array, lambda: number, options: ReweightOptions = {}): ReweightedBaseline {
  return settleWeights(y, lambda, options, (weights, signal, z, counted) => {
    let moved = 0;
    for (let i = 0; i < weights.length; i++) {
      if (!counted[i]) continue;
      const next = signal[i] > z[i] ? P : 1 - P;
      if (next !== weights[i]) moved++;
      weights[i] = next;
    }
    return moved === 0;
  });
}

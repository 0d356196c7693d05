// What the noise alone leaves of a rider's area, whatever the method: a bound beside the handbook's figures.
import { choleskyFactor, choleskySolve } from "../../toolkit/numeric/dense.js";
import { emg } from "../../toolkit/peaks/shape/emg.js";
import { type PinkShare, riderScene, SIGMA } from "../peaks/rider-scenes.js";

/** Half of the samples looked at: beyond, a rider has no signal left. */
const REACH = 12 * SIGMA;
/** 90 % of normal errors lie within so many standard deviations. */
const P90 = 1.6449;

/**
 * The 90 % point of the relative error (%) that the best of all linear estimators has which is told background, place and
 * noise exactly, and the shape as the standards tell it (σ ± 3 %, τ ± 6 %):
 *
 *     u² = 1/(s′ C⁻¹ s),   C = f Γ + (0.03 ∂s/∂ln σ)(…)′ + (0.06 ∂s/∂ln τ)(…)′
 *
 * with Γ the covariance of the noise the scene was drawn from, and f = 1, or 2 where the background is another injection of
 * the same noise (its own comes along).
 *
 * @source Gauss–Markov theorem
 */
export function boundOf(pink: PinkShare, backgrounds: "known" | "measured"): number {
  const { covariance, area } = riderScene("bound", "slow exponentials", 20, 9, pink);
  const n = 2 * REACH + 1;
  const tau = 0.4 * SIGMA;
  const curve = (sigma: number, t: number) =>
    Float64Array.from({ length: n }, (_, i) => area * emg(i, REACH, sigma, t));
  const shape = curve(SIGMA, tau);
  const by = (share: number, other: Float64Array) => shape.map((s, i) => (share * (other[i] - s)) / 0.001);
  const doubts = [by(0.03, curve(1.001 * SIGMA, tau)), by(0.06, curve(SIGMA, 1.001 * tau))];
  const factor = backgrounds === "known" ? 1 : 2;
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++)
      matrix[i * n + j] = doubts.reduce((sum, d) => sum + d[i] * d[j], factor * covariance[i - j]);
  const weights = choleskySolve(choleskyFactor(matrix, n), shape, n);
  const information = shape.reduce((sum, s, i) => sum + s * weights[i], 0);
  return (100 * P90) / Math.sqrt(information);
}

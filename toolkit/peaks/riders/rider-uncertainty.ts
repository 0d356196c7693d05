import { emg } from "../shape/emg.js";
import type { Rider } from "./rider-window.js";

/** What standards leave open of a shape, relative: width and tail constant. */
const WIDTH_KNOWN = 0.03;
const TAIL_KNOWN = 0.06;
/** What no function of three parameters follows of a real peak, relative to its area. */
const FORM_KNOWN = 0.004;

/**
 * Part of an area's u that comes from the shape: what the area's weights make of a rider whose width is 3 % and whose
 * tail constant 6 % off, and 0.4 % for what no such shape follows. Weights that do not see the width (a strong rider's
 * own is fitted) leave out its part by themselves. Same unit as the area.
 *
 * @param weights of the area over the samples from `first` on
 */
export function shapeUncertainty(
  weights: Float64Array,
  first: number,
  rider: Rider,
  at: { readonly mu: number; readonly width: number },
  area: number,
): number {
  const [sigma, tau] = [at.width * rider.sigma, at.width * rider.tau];
  let [byWidth, byTail] = [0, 0];
  const from = Math.max(0, Math.floor(at.mu - 7 * sigma) - first);
  const to = Math.min(weights.length - 1, Math.ceil(at.mu + 7 * sigma + 25 * tau) - first);
  for (let i = from; i <= to; i++) {
    const plain = emg(first + i, at.mu, sigma, tau);
    byWidth += weights[i] * (emg(first + i, at.mu, sigma * (1 + WIDTH_KNOWN), tau) - plain);
    byTail += weights[i] * (emg(first + i, at.mu, sigma, tau * (1 + TAIL_KNOWN)) - plain);
  }
  return Math.abs(area) * Math.hypot(byWidth, byTail, FORM_KNOWN);
}

/** Correlation length of a background's misfit, in σ of the rider, and where its correlation is dropped. */
const MISFIT_LENGTH = 1;
const MISFIT_REACH = 3;

/**
 * Part of an area's u that comes from a background which follows the giant only to within a share of its signal:
 * u² = h M h′ with M(s, t) = ε² b(s) b(t) exp(−(s − t)²/2ℓ²), ℓ = 1 σ.
 *
 * @param weights of the area over the same samples as the background
 * @param misfit ε, relative
 * @param sigma samples
 */
export function misfitUncertainty(
  weights: Float64Array,
  background: Float64Array,
  misfit: number,
  sigma: number,
): number {
  const length = MISFIT_LENGTH * sigma;
  const reach = Math.ceil(MISFIT_REACH * length);
  const kernel = Float64Array.from({ length: reach + 1 }, (_, k) => Math.exp(-0.5 * (k / length) ** 2));
  const pull = weights.map((h, i) => h * Math.max(background[i], 0));
  let sum = 0;
  for (let i = 0; i < pull.length; i++) {
    if (pull[i] === 0) continue;
    let row = 0.5 * kernel[0] * pull[i];
    for (let k = 1; k <= reach && i + k < pull.length; k++) row += kernel[k] * pull[i + k];
    sum += 2 * pull[i] * row;
  }
  return misfit * Math.sqrt(Math.max(sum, 0));
}

import type { ResponseModel } from "../response/response-models.js";

/**
 * Factor on the standard uncertainty u of a reading whose scatter, and the curve's slope, change within that scatter itself:
 *
 *     √(1 + 17q² + 12qe + ¾e²),   q = du/dy,   e = u·(d²x/dy²)/(dx/dy)
 *
 * It is the root mean square distance of the concentration from the value read off, over that of first order: with t the
 * true response less the reading, in u, p(t) ∝ e^(−t²/2(1 + qt)²)/(1 + qt) and x₀ + (dx/dy)·u·(t + ½e·t²), both to second
 * order. A reading that fell low takes the scatter of a lower place for its own: at q = 0.15 (root-like scatter, 30 % of
 * the response) value ± 1.96·u of first order holds the truth in 93 %, with the factor in 95.6 %. At q = 0.01 it is 1.001. Up to q = 0.3.
 *
 * q and e are taken over y ± u, so that scatter which is held below the lowest level counts half there.
 *
 * @param uAt u of a reading at a response
 * @source posterior of a location under a flat prior, second order (derived)
 */
export function readingGrowth(
  model: ResponseModel,
  coefficients: Float64Array,
  y: number,
  uAt: (response: number) => number,
): number {
  const u = uAt(y);
  if (!(u > 0)) return 1;
  const q = (uAt(y + u) - uAt(y - u)) / (2 * u);
  const slope = (response: number) => model.perResponse(coefficients, response);
  const e = (slope(y + u) - slope(y - u)) / (2 * slope(y));
  const square = 1 + 17 * q * q + 12 * q * e + 0.75 * e * e;
  // Beyond a vertex there is nothing to compare with.
  return square > 1 ? Math.sqrt(square) : 1;
}

import { nonNegativeFromNormal } from "../../numeric/nnls-normal.js";

/**
 * Variance of a reading as a function of its response, from variances that are stated at the levels:
 *
 *     v(y) = (a + b·|y| + c·y²)·q(y),   a, b, c ≥ 0 with Σ(1 − (a + b|yⱼ| + cyⱼ²)/vⱼ)² smallest
 *
 * The three terms are the three ways in which scatter arises and whose variances add: a floor of noise, events that are
 * counted or drops that come and go (variance as the response), and a share of the response (injection). Constant, proportional and root-like scatter and
 * their sums are met exactly, however far apart the levels lie; q, linear in y between the levels, is what such a sum
 * leaves, so that v is the stated one at every level. A chord between two levels would not do: over a fivefold step one
 * of standard deviations is up to 7 % too low for root-like scatter, one of variances up to 34 % too wide for proportional.
 *
 * Below the lowest response v is that of the lowest, above the highest it grows on. Responses rising.
 *
 * @source three terms: variances of independent causes add (derived); non-negative least squares: C. L. Lawson,
 *   R. J. Hanson (1974)
 */
export function statedScatter(
  responses: readonly number[],
  variances: readonly number[],
): (response: number) => number {
  const terms = termsOf(responses, variances);
  const sum = (y: number) => terms[0] + terms[1] * Math.abs(y) + terms[2] * y * y;
  const left = responses.map((y, j) => variances[j] / sum(y));
  const last = responses.length - 1;
  return (response) => {
    const y = Math.max(response, responses[0]);
    const above = responses.findIndex((level) => level > y);
    if (above < 0) return left[last] * sum(y);
    const part = (y - responses[above - 1]) / (responses[above] - responses[above - 1]);
    return (left[above - 1] + part * (left[above] - left[above - 1])) * sum(y);
  };
}

function termsOf(responses: readonly number[], variances: readonly number[]): Float64Array {
  const gram = new Float64Array(9);
  const right = new Float64Array(3);
  responses.forEach((y, j) => {
    const row = [1, Math.abs(y), y * y].map((term) => term / variances[j]);
    for (let k = 0; k < 3; k++) {
      right[k] += row[k];
      for (let l = 0; l < 3; l++) gram[3 * k + l] += row[k] * row[l];
    }
  });
  return nonNegativeFromNormal(gram, right, 3);
}

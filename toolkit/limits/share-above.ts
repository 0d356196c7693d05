import { fisherQuantile, studentQuantile } from "../numeric/distributions.js";
import { logGamma, normalCdf, normalPdf, regularizedBeta } from "../numeric/special-functions.js";

/** Nodes over the unknown mean and spread; the sum is that of a smooth function that vanishes at both ends. */
const NODES = 31;
/** So many standard deviations of either are looked at. */
const REACH = 7;

/**
 * Probability of k or more of n new results above a critical value, for every k from 0 to n, while nothing has changed.
 *
 *     known      P(K ≥ k) = I_α(k, n − k + 1)
 *     estimated  the same with α(z, w) = 1 − Φ(z/√n₀ + t(1 − α, ν)·w·√(1 + 1/n₀)), averaged over z and w
 *
 * z standard normal, w = √(χ²(ν)/ν): where the critical value was estimated from n₀ blanks, all new results share its
 * error, so that several above it at once are likelier than by the binomial law alone.
 *
 * @param estimatedFrom n₀, `undefined` where the critical value is stated
 * @source binomial law; averaged over the sampling distributions of mean and standard deviation (derived)
 */
export function tailsAbove(n: number, alpha: number, estimatedFrom: number | undefined): Float64Array {
  if (estimatedFrom === undefined) return binomialTails(n, alpha);
  const key = `${n} ${alpha} ${estimatedFrom}`;
  const known = remembered.get(key) ?? averagedTails(n, alpha, estimatedFrom);
  if (remembered.size >= MOST_REMEMBERED) remembered.clear();
  remembered.set(key, known);
  return known;
}

/** The ions of a batch all ask for the same few. */
const remembered = new Map<string, Float64Array>();
const MOST_REMEMBERED = 64;

function averagedTails(n: number, alpha: number, estimatedFrom: number): Float64Array {
  const dof = estimatedFrom - 1;
  const factor = studentQuantile(1 - alpha, dof) * Math.sqrt(1 + 1 / estimatedFrom);
  const tails = new Float64Array(n + 1);
  let weights = 0;
  for (const [w, ofSpread] of spreadNodes(dof)) {
    for (let i = 0; i < NODES; i++) {
      const z = REACH * ((2 * i) / (NODES - 1) - 1);
      const weight = ofSpread * normalPdf(z);
      const share = normalCdf(-(z / Math.sqrt(estimatedFrom) + factor * w));
      addTails(tails, weight, n, share);
      weights += weight;
    }
  }
  return tails.map((tail) => Math.min(1, tail / weights));
}

/** w and its density on even steps of ln w, as far as either tail matters. */
function spreadNodes(dof: number): readonly (readonly [number, number])[] {
  const [low, high] = [-25 / dof - 6 / Math.sqrt(2 * dof), Math.log1p(8 / Math.sqrt(2 * dof))];
  const constant = 0.5 * dof * Math.log(dof / 2) - logGamma(dof / 2);
  return Array.from({ length: 2 * NODES }, (_, i) => {
    const logW = low + ((high - low) * (i + 0.5)) / (2 * NODES);
    return [Math.exp(logW), Math.exp(constant + dof * logW - 0.5 * dof * Math.exp(2 * logW))] as const;
  });
}

/** Above so many blanks the recurrence below could run out of small numbers. */
const MANY = 500;

/** Adds weight·P(K ≥ k), the terms of the law by their recurrence from the end where they are largest. */
function addTails(tails: Float64Array, weight: number, n: number, share: number): void {
  if (n > MANY) {
    binomialTails(n, share).forEach((tail, k) => {
      tails[k] += weight * tail;
    });
    return;
  }
  const other = 1 - share;
  let sum = 0;
  if (share > 0.5) {
    let term = share ** n;
    for (let k = n; k >= 0; k--) {
      sum += term;
      tails[k] += weight * sum;
      term *= (k * other) / ((n - k + 1) * share);
    }
    return;
  }
  let term = other ** n;
  for (let k = 0; k <= n; k++) {
    tails[k] += weight * (1 - sum);
    sum += term;
    term *= ((n - k) * share) / ((k + 1) * other);
  }
}

function binomialTails(n: number, share: number): Float64Array {
  const tails = new Float64Array(n + 1).fill(1);
  for (let k = 1; k <= n; k++) tails[k] = regularizedBeta(share, k, n - k + 1);
  return tails;
}

/**
 * Exact interval of a share of which k of n were seen.
 *
 *     low  = k/(k + (n − k + 1)·F((1 + p)/2; 2(n − k + 1), 2k))
 *     high = (k + 1)·F((1 + p)/2; 2(k + 1), 2(n − k))/(n − k + (k + 1)·F)
 *
 * @source C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404
 */
export function shareInterval(
  k: number,
  n: number,
  level = 0.95,
): { readonly low: number; readonly high: number } {
  const p = (1 + level) / 2;
  const below = k === 0 ? Infinity : (n - k + 1) * fisherQuantile(p, 2 * (n - k + 1), 2 * k);
  const above = k === n ? Infinity : (k + 1) * fisherQuantile(p, 2 * (k + 1), 2 * (n - k));
  return { low: k === 0 ? 0 : k / (k + below), high: k === n ? 1 : above / (n - k + above) };
}

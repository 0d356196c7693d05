import { fastExp } from "../../numeric/fast-exp.js";
import { erfcx } from "../../numeric/special-functions.js";
import { emgWithGradient } from "./emg.js";
import { mayRun, writeRunning } from "./emg-recurrence.js";
import { GAUSSIAN_LATTICE, indicesWithin, type PeakKernel } from "./peak-kernel.js";

/** The exponentials are worked out afresh after so many points: rounding stays below 1e-13 of the height. */
const RESTART = 32;
/** The Gaussian has fallen below 1e-15 of its height here, in σ. */
const GAUSSIAN_REACH = 8.3;
/** −ln 1e-15. */
const DECADES = 34.5;
/** σ/τ above which the differences of nearly equal terms lose too much: those peaks are written point by point. */
const LARGEST_RATIO = 50;
/** σ/τ above which the tail hardly reaches further than the Gaussian. */
const SHORT_TAIL = 8;

/**
 * Exponentially modified Gaussians along a time axis, with the derivatives by μ, ln σ and ln |τ|.
 *
 *     f = g·erfcx(z)/(2τ) for z ≥ 0,  f = (E − g·erfcx(−z)/2)/τ for z < 0
 *
 * g = exp(−u²/2), E = exp(r²/2 − u·r), r = σ/τ, z = (r − u)/√2, u = (t − μ)/σ. On even times each point follows from
 * the one before it (`writeRunning`); where the exponential is too short for that, g and E do, by one multiplication
 * each, so a point costs one erfcx for the value and all derivatives. Good to 1e-12 of the height for every τ/σ;
 * derivatives the same times (σ/τ)², as far as they cancel.
 *
 * @source closed forms: `emgWithGradient`; recurrences of the exponentials (derived)
 */
export const emgKernel: PeakKernel = {
  further: [{ name: "tau", additive: false }],
  lattice: GAUSSIAN_LATTICE,
  write(axis, parameters, columns, reach) {
    const mu = parameters[0];
    const sigma = parameters[1];
    const tau = parameters[2];
    const side = tau < 0 ? -1 : 1;
    const length = Math.abs(tau);
    const behind = tailReach(sigma, length);
    const front = GAUSSIAN_REACH * sigma;
    indicesWithin(axis, mu - (side > 0 ? front : behind), mu + (side > 0 ? behind : front), reach);
    if (axis.interval === undefined || sigma > LARGEST_RATIO * length) {
      writePoints(axis.time, parameters, columns, reach);
    } else if (mayRun(axis.interval, sigma, length)) {
      const count = reach[1] - reach[0] + 1;
      const first = side > 0 ? reach[0] : reach[1];
      writeRunning(axis.time, axis.interval, mu, sigma, length, side, columns, first, count);
    } else {
      writeEven(axis.time[0], axis.interval, mu, sigma, length, side, columns, reach[0], reach[1]);
    }
  },
};

/** How far behind μ the peak exceeds 1e-15 of its height. */
function tailReach(sigma: number, tau: number): number {
  const r = sigma / tau;
  if (!(r < SHORT_TAIL)) return GAUSSIAN_REACH * sigma + 5 * tau;
  // exp(r²/2 − v/τ)/τ against the height, which is at least 0.35/(σ + τ).
  const level = DECADES + Math.log((sigma + tau) / (0.35 * tau));
  return Math.max(GAUSSIAN_REACH * sigma, tau * (0.5 * r * r + level));
}

function writePoints(
  time: Float64Array,
  [mu, sigma, tau]: Float64Array,
  [f, byMu, bySigma, byTau]: readonly Float64Array[],
  [from, to]: Int32Array,
): void {
  const point = new Float64Array(4);
  for (let i = from; i <= to; i++) {
    emgWithGradient(time[i], mu, sigma, tau, point);
    f[i] = point[0];
    byMu[i] = point[1];
    bySigma[i] = point[2] * sigma;
    byTau[i] = point[3] * tau;
  }
}

/** `side` −1 runs the same formulas on the mirrored time. */
function writeEven(
  begins: number,
  interval: number,
  mu: number,
  sigma: number,
  tau: number,
  side: number,
  columns: readonly Float64Array[],
  from: number,
  to: number,
): void {
  const f = columns[0];
  const byMu = columns[1];
  const bySigma = columns[2];
  const byTau = columns[3];
  const step = (side * interval) / sigma;
  const ratio = sigma / tau;
  const ratio2 = ratio * ratio;
  const overTau = 1 / tau;
  const halfOverTau = 0.5 * overTau;
  const byMuFactor = side * overTau;
  const density = 1 / (sigma * Math.sqrt(2 * Math.PI));
  const stepSquared = Math.exp(-step * step);
  const tailStep = Math.exp(-step * ratio);
  const begin = (begins - mu) / sigma;
  for (let start = from; start <= to; start += RESTART) {
    const end = Math.min(start + RESTART - 1, to);
    const u0 = side * (begin + (start * interval) / sigma);
    let tail = Math.exp(0.5 * ratio2 - u0 * ratio);
    let gauss = fastExp(-0.5 * u0 * u0);
    let growth = Math.exp(-step * (u0 + 0.5 * step));
    for (let i = start; i <= end; i++) {
      const u = u0 + (i - start) * step;
      const z = (ratio - u) * Math.SQRT1_2;
      // One call for both sides: a second one would not be compiled into this loop.
      const part = gauss * halfOverTau * erfcx(Math.abs(z));
      const value = z >= 0 ? part : tail * overTau - part;
      const phi = gauss * density;
      const difference = ratio2 * (phi - value);
      f[i] = value;
      byMu[i] = byMuFactor * (value - phi);
      bySigma[i] = -ratio * u * phi - difference;
      byTau[i] = difference + value * (ratio * u - 1);
      gauss *= growth;
      growth *= stepSquared;
      tail *= tailStep;
    }
  }
}

import { IonbookError } from "../errors.js";

export interface SavitzkyGolayOptions {
  /** Samples in the window, odd. @default 21 */
  readonly window?: number;
  /** Degree of the polynomial, below the window. @default 3 */
  readonly degree?: number;
  /** Which derivative comes back; 0 the smoothed signal. @default 0 */
  readonly derivative?: number;
  /** Sampling interval, in the unit the derivative is to be taken by (min for a chromatogram). @default 1 */
  readonly interval?: number;
}

/**
 * The signal smoothed by a polynomial through a moving window (Savitzky–Golay), or its derivative: at every sample the
 * least-squares polynomial of the samples around it, at the ends that of the first or last window.
 *
 * Σₖ hₖ y(i + k), hₖ = Σ_m P_m(k) P_m^(d)(0)/‖P_m‖², P_m the polynomials orthogonal over the window. Unit of the signal
 * over intervalᵈ. For display and for starting values: a window wider than about 1.5 peak s.d. takes height from a peak, so
 * areas and heights are never read off a smoothed record. O(n·window).
 *
 * @param signal evenly sampled, at least one window long
 * @throws IonbookError `bad-option` for an even window, a degree not below it, a negative derivative or an interval that is
 *   not positive; `short-stretch` for a signal shorter than the window
 * @source A. Savitzky, M. J. E. Golay, Anal. Chem. 36 (1964) 1627; ends: P. A. Gorry, Anal. Chem. 62 (1990) 570 (from memory)
 */
export function smoothSavitzkyGolay(signal: Float64Array, options: SavitzkyGolayOptions = {}): Float64Array {
  const { window = 21, degree = 3, derivative = 0, interval = 1 } = options;
  check(signal, window, degree, derivative, interval);
  const n = signal.length;
  const half = (window - 1) >> 1;
  const out = new Float64Array(n);
  const weights = weightsAt(0, half, degree, derivative, interval);
  if (derivative % 2 === 0) evenPairs(out, signal, weights, half);
  else oddPairs(out, signal, weights, half);
  for (let k = 1; k <= half; k++) {
    const left = weightsAt(-k, half, degree, derivative, interval);
    const right = weightsAt(k, half, degree, derivative, interval);
    out[half - k] = dot(left, signal, 0);
    out[n - 1 - half + k] = dot(right, signal, n - window);
  }
  return out;
}

function check(signal: Float64Array, window: number, degree: number, derivative: number, interval: number) {
  const whole = [window, degree, derivative].every(Number.isInteger);
  if (
    !whole ||
    window < 3 ||
    window % 2 === 0 ||
    degree < 0 ||
    degree >= window ||
    derivative < 0 ||
    !(interval > 0)
  ) {
    throw new IonbookError(
      "bad-option",
      `smoothSavitzkyGolay: window ${window}, degree ${degree}, derivative ${derivative}, interval ${interval}: give an odd window of at least 3, a degree below it, a derivative of 0 or more and a positive interval`,
    );
  }
  if (signal.length < window) {
    throw new IonbookError(
      "short-stretch",
      `smoothSavitzkyGolay: ${signal.length} samples are fewer than the window of ${window}: give a narrower window`,
    );
  }
}

/** Weights that give the derivative of the window's polynomial at sample `at` from its middle. */
function weightsAt(
  at: number,
  half: number,
  degree: number,
  derivative: number,
  interval: number,
): Float64Array {
  const weights = new Float64Array(2 * half + 1);
  // Monic orthogonal polynomials on −1 … 1 by their recursion, here at every sample and, with derivatives, at `at`.
  let before = new Float64Array(weights.length);
  let own = new Float64Array(weights.length).fill(1);
  let beforeAt = new Float64Array(derivative + 1);
  let ownAt = Float64Array.from(beforeAt, (_, d) => (d === 0 ? 1 : 0));
  let normBefore = 1;
  const scale = (half * interval) ** derivative;
  for (let m = 0; m <= degree; m++) {
    const norm = own.reduce((sum, p) => sum + p * p, 0);
    for (let i = 0; i < weights.length; i++) weights[i] += (own[i] * ownAt[derivative]) / norm / scale;
    const b = m === 0 ? 0 : norm / normBefore;
    const [p, q, pAt, qAt] = [own, before, ownAt, beforeAt];
    own = p.map((value, i) => ((i - half) / half) * value - b * q[i]);
    ownAt = pAt.map((value, d) => (at / half) * value + (d > 0 ? d * pAt[d - 1] : 0) - b * qAt[d]);
    [before, beforeAt, normBefore] = [p, pAt, norm];
  }
  return weights;
}

function dot(weights: Float64Array, y: Float64Array, from: number): number {
  let sum = 0;
  for (let k = 0; k < weights.length; k++) sum += weights[k] * y[from + k];
  return sum;
}

/** Samples worked on together: their sums do not wait for each other, and a weight is read once for all of them. */
const TOGETHER = 4;

/** Weights alike on both sides: samples at equal distance are added first. */
function evenPairs(out: Float64Array, y: Float64Array, weights: Float64Array, half: number): void {
  const last = y.length - half;
  let i = half;
  for (; i + TOGETHER <= last; i += TOGETHER) {
    const middle = weights[half];
    let a = 0;
    let b = 0;
    let c = 0;
    let d = 0;
    for (let k = 1; k <= half; k++) {
      const w = weights[half + k];
      a += w * (y[i + k] + y[i - k]);
      b += w * (y[i + 1 + k] + y[i + 1 - k]);
      c += w * (y[i + 2 + k] + y[i + 2 - k]);
      d += w * (y[i + 3 + k] + y[i + 3 - k]);
    }
    out[i] = a + middle * y[i];
    out[i + 1] = b + middle * y[i + 1];
    out[i + 2] = c + middle * y[i + 2];
    out[i + 3] = d + middle * y[i + 3];
  }
  for (; i < last; i++) out[i] = dot(weights, y, i - half);
}

/** Weights of opposite sign on both sides: samples at equal distance are subtracted first. */
function oddPairs(out: Float64Array, y: Float64Array, weights: Float64Array, half: number): void {
  const last = y.length - half;
  let i = half;
  for (; i + TOGETHER <= last; i += TOGETHER) {
    let a = 0;
    let b = 0;
    let c = 0;
    let d = 0;
    for (let k = 1; k <= half; k++) {
      const w = weights[half + k];
      a += w * (y[i + k] - y[i - k]);
      b += w * (y[i + 1 + k] - y[i + 1 - k]);
      c += w * (y[i + 2 + k] - y[i + 2 - k]);
      d += w * (y[i + 3 + k] - y[i + 3 - k]);
    }
    out[i] = a;
    out[i + 1] = b;
    out[i + 2] = c;
    out[i + 3] = d;
  }
  for (; i < last; i++) out[i] = dot(weights, y, i - half);
}

import { IonbookError } from "../errors.js";
import { windowWeights } from "./savitzky-golay-weights.js";

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
  const half = (window - 1) >> 1;
  const { rows } = windowWeights(half, degree, derivative);
  const scale = 1 / interval ** derivative;
  const out = new Float64Array(signal.length);
  const weights = rows.slice(0, window).map((weight) => scale * weight);
  const side = derivative % 2 === 0 ? 1 : -1;
  inside(out, signal, weights, half, side);
  ends(out, signal, rows, half, scale, side * scale);
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

/** The first and the last half window, read off the polynomials of the first and last window. */
function ends(
  out: Float64Array,
  y: Float64Array,
  rows: Float64Array,
  half: number,
  scale: number,
  mirrored: number,
): void {
  const last = y.length - 1;
  const window = 2 * half + 1;
  for (let k = 1; k <= half; k++) {
    let behind = 0;
    let before = 0;
    for (let i = 0, at = k * window; i < window; i++, at++) {
      behind += rows[at] * y[last - 2 * half + i];
      before += rows[at] * y[2 * half - i];
    }
    out[last - half + k] = scale * behind;
    out[half - k] = mirrored * before;
  }
}

/**
 * The samples with a whole window about them, `side` 1 for weights alike on both sides, −1 for weights of opposite sign:
 * samples at equal distance are added first. Four samples and two distances at a time: of the readings that four
 * neighbours need at the next distance, all but one on each side are at hand already.
 */
function inside(out: Float64Array, y: Float64Array, weights: Float64Array, half: number, side: number): void {
  const last = y.length - half;
  const paired = half - (half % 2);
  const middle = weights[half];
  let i = half;
  for (; i + 4 <= last; i += 4) {
    const r0 = y[i];
    let r1 = y[i + 1];
    let r2 = y[i + 2];
    let r3 = y[i + 3];
    let l0 = side * r0;
    let l1 = side * r1;
    let l2 = side * r2;
    let a = middle * r0;
    let b = middle * r1;
    let c = middle * r2;
    let d = middle * r3;
    let k = 1;
    for (; k <= paired; k += 2) {
      const near = weights[half + k];
      const far = weights[half + k + 1];
      const r4 = y[i + k + 3];
      const r5 = y[i + k + 4];
      const before1 = side * y[i - k];
      const before2 = side * y[i - k - 1];
      a += near * (r1 + before1) + far * (r2 + before2);
      b += near * (r2 + l0) + far * (r3 + before1);
      c += near * (r3 + l1) + far * (r4 + l0);
      d += near * (r4 + l2) + far * (r5 + l1);
      r1 = r3;
      r2 = r4;
      r3 = r5;
      l2 = l0;
      l1 = before1;
      l0 = before2;
    }
    if (k === half) {
      const weight = weights[half + k];
      a += weight * (r1 + side * y[i - k]);
      b += weight * (r2 + l0);
      c += weight * (r3 + l1);
      d += weight * (y[i + k + 3] + l2);
    }
    out[i] = a;
    out[i + 1] = b;
    out[i + 2] = c;
    out[i + 3] = d;
  }
  for (; i < last; i++) {
    let sum = middle * y[i];
    for (let k = 1; k <= half; k++) sum += weights[half + k] * (y[i + k] + side * y[i - k]);
    out[i] = sum;
  }
}

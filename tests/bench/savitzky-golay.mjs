// Smoothing of the bench's batch workload: Savitzky–Golay, cubic, 21 points, ends by the cubic of the end window.
// Closed form of the weights: A. Savitzky, M. J. E. Golay, Anal. Chem. 36 (1964) 1627 (from memory).
import { fitPolynomial } from "../../toolkit/dist/numeric/fit-polynomial.js";
import { convolve } from "../../toolkit/dist/signal/smooth.js";

const HALF = 10;
const KERNEL = Float64Array.from({ length: 2 * HALF + 1 }, (_, i) => {
  const k = i - HALF;
  return (
    (3 * (3 * HALF * HALF + 3 * HALF - 1 - 5 * k * k)) / ((2 * HALF + 3) * (2 * HALF + 1) * (2 * HALF - 1))
  );
});
const OFFSETS = Array.from({ length: 2 * HALF + 1 }, (_, i) => i - HALF);

export function smoothed(y) {
  const out = convolve(y, KERNEL);
  const last = y.length - 2 * HALF - 1;
  for (const [from, side] of [
    [0, -1],
    [last, 1],
  ]) {
    const { coefficients: b } = fitPolynomial(OFFSETS, Array.from(y.subarray(from, from + 2 * HALF + 1)), 3);
    for (let k = 1; k <= HALF; k++) {
      const t = side * k;
      out[from + HALF + t] = b[0] + t * (b[1] + t * (b[2] + t * b[3]));
    }
  }
  return out;
}

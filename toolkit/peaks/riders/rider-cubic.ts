import type { BackgroundCurve } from "./rider-local.js";
import { pseudoInverseRow } from "./rider-row.js";

/** exp of a polynomial in (i − centre)/σ, started from the logarithm of what a fit before left under the rider. */
export function exponentialPolynomial(
  before: Float64Array,
  stretch: readonly [first: number, last: number],
  centre: number,
  sigma: number,
  degree: number,
  floor: number,
): BackgroundCurve {
  const n = stretch[1] - stretch[0] + 1;
  const x = Float64Array.from({ length: n }, (_, i) => (stretch[0] + i - centre) / sigma);
  const b = degree + 1;
  return {
    start: logPolynomial(x, before, degree, floor),
    bounds: Array.from({ length: b }, () => [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY] as const),
    evaluate(parameters, value, gradient) {
      for (let i = 0; i < n; i++) {
        let exponent = parameters[degree];
        for (let k = degree - 1; k >= 0; k--) exponent = exponent * x[i] + parameters[k];
        const e = Math.exp(Math.min(Math.max(exponent, -80), 80));
        value[i] = e;
        let power = e;
        for (let k = 0; k < b; k++) {
          gradient[i * b + k] = power;
          power *= x[i];
        }
      }
    },
  };
}

/** Least squares of ln(background) by a polynomial, weighted by the background itself. */
function logPolynomial(x: Float64Array, before: Float64Array, degree: number, floor: number): Float64Array {
  const b = degree + 1;
  const columns = Array.from({ length: b }, (_, k) => x.map((v) => v ** k));
  const values = before.map((v) => Math.log(Math.max(v, floor)));
  const root = before.map((v) => Math.sqrt(Math.max(v, floor)));
  return Float64Array.from({ length: b }, (_, k) => {
    const row = pseudoInverseRow(columns, root, k);
    return row.reduce((sum, h, i) => sum + h * values[i], 0);
  });
}

import { requireProbability } from "./domain.js";
import { erfc } from "./error-function.js";

const ONE_OVER_SQRT_TWO_PI = 0.3989422804014327;

/** Standard normal density φ(x) = exp(−x²/2)/√(2π). */
export function normalPdf(x: number): number {
  return ONE_OVER_SQRT_TWO_PI * Math.exp(-0.5 * x * x);
}

/** Standard normal distribution function Φ(x) = ½·erfc(−x/√2), precise in the left tail too. */
export function normalCdf(x: number): number {
  return 0.5 * erfc(-x * Math.SQRT1_2);
}

/**
 * The x with Φ(x) = p, relative error about 1e-16; ±Infinity for p = 1 and 0.
 * @param p probability, 0 to 1
 * @throws IonbookError "out-of-domain" outside that range
 * @source M. J. Wichura, Algorithm AS 241 (PPND16), Appl. Statist. 37 (1988) 477–484, doi:10.2307/2347330
 */
export function normalQuantile(p: number): number {
  requireProbability(p, "normalQuantile");
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) return q * ratio(0.180625 - q * q, CENTRE_TOP, CENTRE_BOTTOM);
  const tail = q < 0 ? p : 1 - p;
  if (tail === 0) return q < 0 ? -Infinity : Infinity;
  const r = Math.sqrt(-Math.log(tail));
  const size = r <= 5 ? ratio(r - 1.6, NEAR_TOP, NEAR_BOTTOM) : ratio(r - 5, FAR_TOP, FAR_BOTTOM);
  return q < 0 ? -size : size;
}

/** Quotient of two polynomials, coefficients in ascending powers. */
function ratio(x: number, top: readonly number[], bottom: readonly number[]): number {
  let a = 0;
  let b = 0;
  for (let i = top.length - 1; i >= 0; i--) {
    a = a * x + top[i];
    b = b * x + bottom[i];
  }
  return a / b;
}

const CENTRE_TOP = [
  3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987,
  67265.7709270087, 33430.57558358813, 2509.0809287301227,
];
const CENTRE_BOTTOM = [
  1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271,
  28729.085735721943, 5226.495278852854,
];
const NEAR_TOP = [
  1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684,
  0.2417807251774506, 0.022723844989269184, 0.0007745450142783414,
];
const NEAR_BOTTOM = [
  1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457,
  0.0005475938084995345, 1.0507500716444169e-9,
];
const FAR_TOP = [
  6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124,
  0.0012426609473880784, 2.7115555687434876e-5, 2.0103343992922881e-7,
];
const FAR_BOTTOM = [
  1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133,
  1.8463183175100548e-5, 1.421511758316446e-7, 2.0442631033899397e-15,
];

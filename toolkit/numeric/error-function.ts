/**
 * The error function and its complements, by W. J. Cody's rational approximations (relative error of the
 * approximations below 6e-19, so a few units in the last place in double precision).
 *
 * @source W. J. Cody, "Rational Chebyshev approximations for the error function", Math. Comp. 23 (1969) 631–637,
 *   doi:10.1090/S0025-5718-1969-0247736-4
 */

import { buildErfcxTable, lookUpErfcx, TABLE_FROM, TABLE_TO } from "./erfcx-table.js";
import { fastExp } from "./fast-exp.js";

/** Below this |x| the series side (erf) is used, above it the tail side (erfcx). */
const SMALL = 0.46875;
const LARGE = 4;
const ONE_OVER_SQRT_PI = 0.5641895835477563;
/** Beyond this erfc(x) is below the smallest double. */
const ERFC_ENDS = 27.3;

/**
 * erf(x) = (2/√π)·∫₀ˣ exp(−t²) dt, for any x.
 * @source Cody 1969
 */
export function erf(x: number): number {
  const size = Math.abs(x);
  if (size <= SMALL) return erfSmall(x);
  const value = 1 - erfcAbove(size);
  return x < 0 ? -value : value;
}

/**
 * erfc(x) = 1 − erf(x), to full relative precision in the right tail too; 0 above x = 27.3.
 * @source Cody 1969
 */
export function erfc(x: number): number {
  if (Math.abs(x) <= SMALL) return 1 - erfSmall(x);
  return x < 0 ? 2 - erfcAbove(-x) : erfcAbove(x);
}

/**
 * The scaled complement erfcx(x) = exp(x²)·erfc(x), for any x; Infinity below x = −26.7. Relative error below 1e-15.
 * For x < 0 it is 2·exp(x²) − erfcx(−x), so nothing under- or overflows before the result does.
 * @source Cody 1969
 */
export function erfcx(x: number): number {
  if (x >= TABLE_TO) return erfcxLarge(x);
  if (x >= TABLE_FROM) return lookUpErfcx(table, x);
  return 2 * expOfSquare(x) - (x > -TABLE_TO ? lookUpErfcx(table, -x) : erfcxLarge(-x));
}

/** By Cody's own forms, −4 ≤ x ≤ 4: what the table is made from. */
function erfcxRational(x: number): number {
  if (x > SMALL) return erfcxMiddle(x);
  if (x >= -SMALL) return fastExp(x * x) * (1 - erfSmall(x));
  return 2 * expOfSquare(x) - erfcxMiddle(-x);
}

function erfcAbove(x: number): number {
  if (x > ERFC_ENDS) return 0;
  return (x > LARGE ? erfcxLarge(x) : erfcxMiddle(x)) * expOfMinusSquare(x);
}

/** exp(x²): the rounding error of x·x, up to x²·1e-16 in the result, is worked out and put back. */
function expOfSquare(x: number): number {
  const square = x * x;
  return square < 800 ? fastExp(square) * (1 + squareRemainder(x, square)) : Infinity;
}

function expOfMinusSquare(x: number): number {
  const square = x * x;
  return fastExp(-square) * (1 - squareRemainder(x, square));
}

/** x² minus its rounded value, exactly, by splitting x into two halves of 26 bits (T. J. Dekker 1971). */
function squareRemainder(x: number, square: number): number {
  const split = 134217729 * x;
  const high = split - (split - x);
  const low = x - high;
  return high * high - square + 2 * high * low + low * low;
}

/** erf(x) for |x| ≤ 0.46875. */
function erfSmall(x: number): number {
  const y = x * x;
  const top =
    (((0.18577770618460315 * y + 3.1611237438705655) * y + 113.86415415105016) * y + 377.485237685302) * y +
    3209.3775891384694;
  const bottom =
    (((y + 23.601290952344122) * y + 244.02463793444417) * y + 1282.6165260773723) * y + 2844.236833439171;
  return (x * top) / bottom;
}

/** erfcx(x) for 0.46875 ≤ x ≤ 4. */
function erfcxMiddle(x: number): number {
  const top =
    (((((((2.1531153547440383e-8 * x + 0.5641884969886701) * x + 8.883149794388377) * x + 66.11919063714163) *
      x +
      298.6351381974001) *
      x +
      881.952221241769) *
      x +
      1712.0476126340707) *
      x +
      2051.0783778260716) *
      x +
    1230.3393547979972;
  const bottom =
    (((((((x + 15.744926110709835) * x + 117.6939508913125) * x + 537.1811018620099) * x +
      1621.3895745666903) *
      x +
      3290.7992357334597) *
      x +
      4362.619090143247) *
      x +
      3439.3676741437216) *
      x +
    1230.3393548037495;
  return top / bottom;
}

/** erfcx(x) for x ≥ 4. */
function erfcxLarge(x: number): number {
  const y = 1 / (x * x);
  const top =
    ((((0.016315387137302097 * y + 0.30532663496123236) * y + 0.36034489994980445) * y +
      0.12578172611122926) *
      y +
      0.016083785148742275) *
      y +
    0.0006587491615298378;
  const bottom =
    ((((y + 2.568520192289822) * y + 1.8729528499234673) * y + 0.5279051029514285) * y +
      0.06051834131244132) *
      y +
    0.0023352049762686918;
  // (1/√π − y·top/bottom)/x with one division less.
  return (ONE_OVER_SQRT_PI * bottom - y * top) / (bottom * x);
}

const table = buildErfcxTable(erfcxRational);

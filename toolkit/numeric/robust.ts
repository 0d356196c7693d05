import { IonbookError } from "../errors.js";

/** MAD times this estimates the standard deviation of normal readings: 1/Φ⁻¹(¾). */
const NORMAL_CONSISTENCY = 1.482602218505602;

/**
 * The middle value; the mean of the two middle ones of an even number. O(n) on average, by selection on a copy.
 * @throws IonbookError "too-few-points" without values, "not-finite" for NaN
 */
export function median(values: ArrayLike<number>): number {
  return medianInPlace(Float64Array.from(values));
}

/**
 * The median absolute deviation, median |xᵢ − centre|, in units of x. O(n).
 * @param centre @default the median
 * @throws IonbookError "too-few-points" without values, "not-finite" for NaN
 * @source F. R. Hampel, J. Am. Statist. Assoc. 69 (1974) 383–393
 */
export function medianAbsoluteDeviation(values: ArrayLike<number>, centre: number = median(values)): number {
  const distances = Float64Array.from(values);
  for (let i = 0; i < distances.length; i++) distances[i] = Math.abs(distances[i] - centre);
  return medianInPlace(distances);
}

/**
 * Standard deviation of the bulk of the values: 1.4826·MAD, exact for normal ones and blind to a minority of wild
 * ones. O(n).
 * @throws IonbookError "too-few-points" without values, "not-finite" for NaN
 */
export function robustStandardDeviation(values: ArrayLike<number>, centre: number = median(values)): number {
  return NORMAL_CONSISTENCY * medianAbsoluteDeviation(values, centre);
}

/**
 * The median of a scratch array, which is left in another order: for loops that own their memory.
 * @throws IonbookError "too-few-points" without values, "not-finite" for NaN
 */
export function medianInPlace(scratch: Float64Array): number {
  const n = scratch.length;
  if (n === 0) throw new IonbookError("too-few-points", "A median needs at least one value");
  for (let i = 0; i < n; i++) {
    if (Number.isNaN(scratch[i]))
      throw new IonbookError("not-finite", `Value ${i + 1} is not a number: leave it out`);
  }
  const middle = n >> 1;
  const upper = select(scratch, middle);
  if (n % 2 === 1) return upper;
  let lower = scratch[0];
  for (let i = 1; i < middle; i++) if (scratch[i] > lower) lower = scratch[i];
  return lower + (upper - lower) / 2;
}

/**
 * The value that sorting a scratch array would put into place k, counted from 0; the array is left in another order.
 * O(n) on average. The values must be numbers (NaN is not looked for).
 * @throws IonbookError "too-few-points" where there is no place k
 */
export function kthSmallestInPlace(scratch: Float64Array, k: number): number {
  if (!(k >= 0 && k < scratch.length))
    throw new IonbookError("too-few-points", `${scratch.length} values have no place ${k}`);
  return select(scratch, k);
}

/**
 * Puts into place k the value that sorting would put there, smaller ones before it and larger ones after it.
 * @source C. A. R. Hoare, Commun. ACM 4 (1961) 321 (FIND), pivot the median of three
 */
function select(values: Float64Array, k: number): number {
  let low = 0;
  let high = values.length - 1;
  while (low < high) {
    const pivot = medianOfThree(values[low], values[(low + high) >> 1], values[high]);
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i] < pivot) i++;
      while (values[j] > pivot) j--;
      if (i <= j) {
        const swapped = values[i];
        values[i++] = values[j];
        values[j--] = swapped;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return values[k];
}

function medianOfThree(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
}

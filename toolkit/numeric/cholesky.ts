import { IonbookError } from "../errors.js";

/**
 * The lower triangle L with L·Lᵀ = A, row-major n × n, zeros above the diagonal. O(n³/3).
 *
 * @param matrix symmetric positive definite A, row-major n × n; only its lower triangle is read
 * @param factor where L is put, zeros above its diagonal; default an array of its own
 * @throws IonbookError "not-positive-definite" when a pivot is not above zero
 * @source G. H. Golub, C. F. Van Loan, Matrix Computations, 4th ed. 2013, §4.2
 */
export function choleskyFactor(
  matrix: ArrayLike<number>,
  n: number,
  factor: Float64Array = new Float64Array(n * n),
): Float64Array {
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j];
      for (let k = 0; k < j; k++) sum -= factor[i * n + k] * factor[j * n + k];
      if (j < i) {
        factor[i * n + j] = sum / factor[j * n + j];
      } else if (sum > 0 && sum < Infinity) {
        factor[i * n + i] = Math.sqrt(sum);
      } else {
        throw new IonbookError(
          "not-positive-definite",
          `The ${n} × ${n} matrix is not positive definite: pivot ${i + 1} is ${sum}; its columns depend on one another`,
        );
      }
    }
  }
  return factor;
}

/** The x with A·x = b, from the factor L of A: one forward and one backward substitution, O(n²). */
export function choleskySolve(factor: ArrayLike<number>, right: ArrayLike<number>, n: number): Float64Array {
  const x = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let sum = right[i];
    for (let k = 0; k < i; k++) sum -= factor[i * n + k] * x[k];
    x[i] = sum / factor[i * n + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = x[i];
    for (let k = i + 1; k < n; k++) sum -= factor[k * n + i] * x[k];
    x[i] = sum / factor[i * n + i];
  }
  return x;
}

/** A⁻¹, row-major n × n and exactly symmetric, from the factor L of A. O(n³). */
export function choleskyInverse(factor: ArrayLike<number>, n: number): Float64Array {
  const inverseFactor = invertLower(factor, n);
  const inverse = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = i; k < n; k++) sum += inverseFactor[k * n + i] * inverseFactor[k * n + j];
      inverse[i * n + j] = sum;
      inverse[j * n + i] = sum;
    }
  }
  return inverse;
}

function invertLower(factor: ArrayLike<number>, n: number): Float64Array {
  const inverse = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    inverse[j * n + j] = 1 / factor[j * n + j];
    for (let i = j + 1; i < n; i++) {
      let sum = 0;
      for (let k = j; k < i; k++) sum -= factor[i * n + k] * inverse[k * n + j];
      inverse[i * n + j] = sum / factor[i * n + i];
    }
  }
  return inverse;
}

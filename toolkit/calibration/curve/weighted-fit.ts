import { carve } from "../../numeric/carve.js";
import { solveLeastSquares } from "../../numeric/dense.js";
import { workArrays } from "../../numeric/work-arrays.js";

const matrixOf = workArrays();
const rightOf = workArrays();

/** A weighted linear least-squares fit of a few columns. */
export interface WeightedFit {
  readonly coefficients: Float64Array;
  /** target − fitted, not weighted. */
  readonly residuals: Float64Array;
  /** Q = Σ w r² */
  readonly sumOfSquares: number;
  /** (XᵀWX)⁻¹, row-major p × p. */
  readonly inverseNormal: Float64Array;
}

/**
 * Coefficients b that make Q = Σ wᵢ(tᵢ − Σⱼ Xᵢⱼbⱼ)² smallest, with (XᵀWX)⁻¹. O(n·p²).
 * @param residuals where the residuals are put; default an array of their own
 * @throws IonbookError "dependent-columns", "too-few-points"
 * @source weighted least squares (N. R. Draper and H. Smith, Applied Regression Analysis, from memory); by QR, see `solveLeastSquares`
 */
export function weightedFit(
  columns: readonly Float64Array[],
  target: Float64Array,
  weights: Float64Array,
  residuals: Float64Array = carve(target.length),
): WeightedFit {
  const n = target.length;
  const p = columns.length;
  const matrix = matrixOf(n * p);
  const right = rightOf(n);
  for (let i = 0; i < n; i++) {
    const root = Math.sqrt(weights[i]);
    right[i] = root * target[i];
    for (let j = 0; j < p; j++) matrix[i * p + j] = root * columns[j][i];
  }
  const { solution, residualSumOfSquares, inverseGram } = solveLeastSquares(matrix, right, n, p);
  residuals.set(target);
  for (let j = 0; j < p; j++) {
    const column = columns[j];
    const coefficient = solution[j];
    for (let i = 0; i < n; i++) residuals[i] -= column[i] * coefficient;
  }
  return {
    coefficients: solution,
    residuals,
    sumOfSquares: residualSumOfSquares,
    inverseNormal: inverseGram,
  };
}

/** G = (XᵀWX)⁻¹XᵀW of b = G·t, row-major p × n. */
export function estimatorOf(
  columns: readonly Float64Array[],
  weights: Float64Array,
  inverseNormal: Float64Array,
): Float64Array {
  const n = weights.length;
  const p = columns.length;
  const estimator = new Float64Array(p * n);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) {
      const factor = inverseNormal[j * p + k];
      for (let i = 0; i < n; i++) estimator[j * n + i] += factor * columns[k][i] * weights[i];
    }
  }
  return estimator;
}

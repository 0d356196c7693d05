import { carve } from "../../numeric/carve.js";
import { type FactoredTable, factorTable, solveFactored } from "../../numeric/linear-least-squares.js";
import { workArrays } from "../../numeric/work-arrays.js";

const tableOf = workArrays();
const rootsOf = workArrays();
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

/** Columns and weights made ready for fits: all that does not depend on what is fitted. */
export interface Design {
  readonly columns: readonly Float64Array[];
  readonly weights: Float64Array;
  /** √w */
  readonly roots: Float64Array;
  readonly factored: FactoredTable;
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
  return fitDesign(passingDesign(columns, weights), target, residuals);
}

/**
 * A design in arrays that hold until the next call: for fits that are done with it before.
 * @throws IonbookError "dependent-columns", "too-few-points"
 */
export function passingDesign(columns: readonly Float64Array[], weights: Float64Array): Design {
  const n = weights.length;
  return designIn(columns, weights, rootsOf(n), tableOf(n * columns.length));
}

/**
 * A design in arrays of its own; takes hold of the columns and the weights, which must not be written afterwards.
 * @throws IonbookError "dependent-columns", "too-few-points"
 */
export function lastingDesign(columns: readonly Float64Array[], weights: Float64Array): Design {
  const n = weights.length;
  const p = columns.length;
  const memory = new Float64Array(n * (2 * p + 1));
  const roots = memory.subarray(0, n);
  return designIn(columns, weights, roots, memory.subarray(n, n * (p + 1)), memory.subarray(n * (p + 1)));
}

function designIn(
  columns: readonly Float64Array[],
  weights: Float64Array,
  roots: Float64Array,
  table: Float64Array,
  packed?: Float64Array,
): Design {
  const n = weights.length;
  for (let i = 0; i < n; i++) roots[i] = Math.sqrt(weights[i]);
  for (let j = 0; j < columns.length; j++) {
    const column = columns[j];
    for (let i = 0, at = j * n; i < n; i++, at++) table[at] = roots[i] * column[i];
  }
  return { columns, weights, roots, factored: factorTable(table, n, columns.length, packed) };
}

/** The fit of one target, see `weightedFit`. */
export function fitDesign(
  { columns, roots, factored }: Design,
  target: Float64Array,
  residuals: Float64Array = carve(target.length),
): WeightedFit {
  const n = target.length;
  const right = rightOf(n);
  for (let i = 0; i < n; i++) right[i] = roots[i] * target[i];
  const { solution, residualSumOfSquares } = solveFactored(factored, right);
  for (let i = 0; i < n; i++) residuals[i] = target[i];
  for (let j = 0; j < columns.length; j++) {
    const column = columns[j];
    const coefficient = solution[j];
    for (let i = 0; i < n; i++) residuals[i] -= column[i] * coefficient;
  }
  return {
    coefficients: solution,
    residuals,
    sumOfSquares: residualSumOfSquares,
    inverseNormal: factored.inverseGram,
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

import { IonbookError } from "../../errors.js";
import { carve } from "../../numeric/carve.js";
import { choleskyFactor } from "../../numeric/dense.js";
import type { ResponseFit } from "../response/fit-response.js";
import { columnsOf, type ResponseModel, slopeAt } from "../response/response-models.js";
import type { CovarianceBasis, StatedVariances } from "../response/types.js";
import { estimatorOf, weightedFit } from "../response/weighted-fit.js";

/** Covariance of the free coefficients (row-major) and where it comes from. */
export interface CoefficientCovariance {
  readonly covariance: Float64Array;
  /** Lower triangle L with L·Lᵀ = covariance: each column is one independent source. */
  readonly factor: Float64Array;
  readonly basis: CovarianceBasis;
}

/** What the stated variances and the named sources mean for the fit. */
export interface StatedErrors {
  readonly stated: StatedVariances;
  /** Concentration errors of the points by named source, one array a source. */
  readonly shared: readonly Float64Array[];
}

/** Cov(b) = s_w²(XᵀWX)⁻¹, s_w² = Q/(n − p). */
export function residualCovariance(fit: ResponseFit, dof: number): CoefficientCovariance {
  const variance = fit.sumOfSquares / dof;
  const s = Math.sqrt(variance);
  const size = fit.inverseNormal.length;
  const covariance = carve(size);
  const factor = choleskyFactor(fit.inverseNormal, fit.coefficients.length, carve(size));
  for (let i = 0; i < size; i++) {
    covariance[i] = variance * fit.inverseNormal[i];
    factor[i] *= s;
  }
  return {
    covariance,
    factor,
    basis: { from: "residuals", inflation: 1, chiSquared: undefined, dof },
  };
}

/**
 * Covariance of the weighted estimator b = G·t when the variance vᵢ of every reading is known:
 *
 *     Cov(b) = F · G · diag(v) · Gᵀ,    F = max(1, (ν₀ + χ²)/(ν₀ + ν))
 *
 * G = (XᵀWX)⁻¹XᵀW, whatever the weights W; ν = n − p. For "weak", fitted in the concentration, vᵢ is
 * (dx/dy)²·variance of the response. χ² is the smallest rᵀV⁻¹r that any coefficients reach, with
 * V = diag(v) + Σ cₛcₛᵀ and cₛ the points' errors from source s seen in the fitted quantity; if the variances and
 * sources are true it is χ²-distributed with ν degrees of freedom, whatever W is. F lets the data overrule
 * variances that are too small, held back by ν₀ (default 10) degrees of freedom of trust; it never shrinks them.
 * The shared sources are in χ² but not in Cov(b): they reach a result under their own names.
 *
 * Degrees of freedom: Infinity where F = 1, else ν₀ + ν.
 *
 * @throws IonbookError "variances-mismatch", "bad-variance"
 * @source sandwich form: A. C. Aitken, Proc. R. Soc. Edinb. 55 (1935) 42; F as the mean of a scaled inverse χ²
 *   of ν₀ degrees of freedom, never below 1 (the toolkit's own rule)
 */
export function statedCovariance(
  model: ResponseModel,
  fit: ResponseFit,
  x: Float64Array,
  y: Float64Array,
  weights: Float64Array,
  errors: StatedErrors,
): CoefficientCovariance {
  const n = x.length;
  const p = model.powers.length;
  const { priorDof = 10 } = errors.stated;
  const variances = targetVariances(model, fit, y, errors.stated);
  const chiSquared = chiSquaredOf(model, fit, x, y, variances, errors.shared);
  const inflation = Math.max(1, (priorDof + chiSquared) / (priorDof + n - p));
  const predictor = model.fits === "response" ? x : y;
  const estimator = estimatorOf(columnsOf(model, predictor), weights, fit.inverseNormal);
  const covariance = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) {
      let sum = 0;
      for (let i = 0; i < n; i++) sum += estimator[j * n + i] * estimator[k * n + i] * variances[i];
      covariance[j * p + k] = inflation * sum;
    }
  }
  const dof = inflation > 1 ? priorDof + n - p : Infinity;
  const factor = choleskyFactor(covariance, p);
  return { covariance, factor, basis: { from: "stated variances", inflation, chiSquared, dof } };
}

function targetVariances(
  model: ResponseModel,
  fit: ResponseFit,
  y: Float64Array,
  { responseVariances, priorDof = 10 }: StatedVariances,
): Float64Array {
  if (responseVariances.length !== y.length) {
    throw new IonbookError(
      "variances-mismatch",
      `${responseVariances.length} response variances for ${y.length} points: give one per point`,
    );
  }
  const bad = responseVariances.findIndex((variance) => !(variance > 0 && variance < Infinity));
  if (bad >= 0 || !(priorDof >= 0)) {
    throw new IonbookError(
      "bad-variance",
      bad >= 0
        ? `The response variance of point ${bad + 1} is ${responseVariances[bad]}: it must be a number above zero`
        : `priorDof is ${priorDof}: give degrees of freedom not below zero`,
    );
  }
  return Float64Array.from(responseVariances, (variance, i) =>
    model.fits === "response" ? variance : variance * model.perResponse(fit.coefficients, y[i]) ** 2,
  );
}

/**
 * min over b of (t − Xb)ᵀV⁻¹(t − Xb). The shared errors are fitted along, each as a column held by one more reading
 * "0 ± 1": that is the same minimum without forming V.
 */
function chiSquaredOf(
  model: ResponseModel,
  fit: ResponseFit,
  x: Float64Array,
  y: Float64Array,
  variances: Float64Array,
  shared: readonly Float64Array[],
): number {
  const n = x.length;
  const fitsResponse = model.fits === "response";
  const target = new Float64Array(n + shared.length);
  target.set(fitsResponse ? y : x);
  const weights = new Float64Array(n + shared.length).fill(1);
  weights.set(variances.map((variance) => 1 / variance));
  const columns = columnsOf(model, fitsResponse ? x : y).map((column) => lengthen(column, shared.length));
  shared.forEach((contributions, s) => {
    const column = new Float64Array(n + shared.length);
    for (let i = 0; i < n; i++) {
      column[i] = fitsResponse ? contributions[i] * slopeAt(model, fit.coefficients, x[i]) : contributions[i];
    }
    column[n + s] = 1;
    columns.push(column);
  });
  return weightedFit(columns, target, weights).sumOfSquares;
}

function lengthen(column: Float64Array, by: number): Float64Array {
  const longer = new Float64Array(column.length + by);
  longer.set(column);
  return longer;
}

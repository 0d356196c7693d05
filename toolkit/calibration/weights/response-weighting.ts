import { IonbookError } from "../../errors.js";
import { fitResponse, type ResponseFit } from "../curve/fit-response.js";
import { levelsOf } from "../curve/levels.js";
import type { ResponseModel } from "../curve/response-models.js";
import type { StandardReading } from "../curve/types.js";
import {
  expectedVarianceFunction,
  fitVarianceFunction,
  type LevelScatter,
  type VarianceFunction,
  varianceAt,
} from "./variance-function.js";
import { interpolateOverLevels, type ResolvedWeighting } from "./weighting.js";

/** A fit whose weights are the inverse variances of the responses, with what follows for a reading. */
export interface ResponseWeightedFit {
  readonly fit: ResponseFit;
  readonly weights: Float64Array;
  readonly weighting: ResolvedWeighting;
  readonly varianceFunction: VarianceFunction | undefined;
  /** Degrees of freedom of the variance of one reading of this response, up to those of the residuals. */
  readonly readingDof: ((response: number) => number) | undefined;
}

const TURNS = 40;
const SETTLED = 1e-8;

/**
 * Weights 1/s² from given standard deviations of the responses.
 * @throws IonbookError "weights-mismatch", "bad-weight", those of `fitResponse`
 */
export function fitGivenDeviations(
  model: ResponseModel,
  points: readonly StandardReading[],
  x: Float64Array,
  y: Float64Array,
  deviations: readonly number[],
): ResponseWeightedFit {
  if (!Array.isArray(deviations) || deviations.length !== points.length) {
    throw new IonbookError(
      "weights-mismatch",
      `${deviations?.length ?? 0} standard deviations for ${points.length} points: give one per point`,
    );
  }
  const bad = deviations.findIndex((s) => !(s > 0 && s < Infinity));
  if (bad >= 0) {
    throw new IonbookError(
      "bad-weight",
      `The standard deviation of point ${bad + 1} is ${deviations[bad]}: give a number above zero`,
    );
  }
  const variances = Float64Array.from(deviations, (s) => s * s);
  const { fit, weights } = settle(model, x, y, () => variances);
  const deviation = interpolateOverLevels(points, deviations);
  const between = (concentration: number) => deviation(concentration) ** 2;
  const weighting = weightingOf("given standard deviations", model, fit, between);
  return { fit, weights, weighting, varianceFunction: undefined, readingDof: undefined };
}

/**
 * Weights from a variance function of the replicates, v = s₀² + (θŷ)², iterated with the curve until both stand.
 * @throws IonbookError "no-replicates", "no-scatter", those of `fitResponse`
 * @source generalised least squares with an estimated variance function: R. J. Carroll and D. Ruppert, Transformation
 *   and Weighting in Regression (1988), from memory
 */
export function fitWithVarianceFunction(
  model: ResponseModel,
  points: readonly StandardReading[],
  x: Float64Array,
  y: Float64Array,
): ResponseWeightedFit {
  const scatter = levelScatter(points);
  let found = fitVarianceFunction(scatter);
  const { fit, weights } = settle(model, x, y, (fitted) => {
    found = fitVarianceFunction(
      scatter.map((level) => ({ ...level, response: fitted(level.concentration) })),
    );
    return x.map((concentration) => variancesFloor(found, fitted(concentration), scatter));
  });
  const expected = expectedVarianceFunction(
    scatter.map((level) => ({ ...level, response: model.respond(fit.coefficients, level.concentration) })),
  );
  const at = (concentration: number) => varianceAt(expected, model.respond(fit.coefficients, concentration));
  return {
    fit,
    weights,
    weighting: weightingOf("variance function", model, fit, at),
    varianceFunction: found,
    readingDof: () => expected.dof,
  };
}

/** A reading at zero response under a purely relative scatter would weigh infinitely much; the lowest level is the floor. */
function variancesFloor(found: VarianceFunction, response: number, scatter: readonly LevelScatter[]): number {
  const lowest = Math.min(...scatter.map((level) => Math.abs(level.response)).filter((y) => y > 0));
  return varianceAt(found, found.s0 > 0 ? response : Math.max(Math.abs(response), lowest));
}

/** Variance, mean and degrees of freedom of every level that was injected more than once. */
export function levelScatter(
  points: readonly StandardReading[],
): readonly (LevelScatter & { readonly concentration: number })[] {
  return levelsOf(points)
    .filter(({ members }) => members.length > 1)
    .map(({ concentration, members }) => {
      const response = members.reduce((sum, i) => sum + points[i].response, 0) / members.length;
      const squares = members.reduce((sum, i) => sum + (points[i].response - response) ** 2, 0);
      const dof = members.length - 1;
      return { concentration, response, variance: squares / dof, dof };
    });
}

/** The fit that is its own weights' fit. */
function settle(
  model: ResponseModel,
  x: Float64Array,
  y: Float64Array,
  variancesOf: (fitted: (concentration: number) => number) => Float64Array,
): { readonly fit: ResponseFit; readonly weights: Float64Array } {
  const start = x.map((value) => (value > 0 ? value ** -2 : 0));
  const lowest = start.reduce((most, w) => Math.max(most, w), 0);
  let weights: Float64Array = start.map((w) => (w > 0 ? w : lowest));
  let fit = fitResponse(model, x, y, weights);
  for (let turn = 0; turn < TURNS; turn++) {
    const before = fit;
    const fitted = (concentration: number) => model.respond(before.coefficients, concentration);
    weights = targetWeights(model, before, x, variancesOf(fitted));
    fit = fitResponse(model, x, y, weights);
    const moved = fit.coefficients.some(
      (b, k) => Math.abs(b - before.coefficients[k]) > SETTLED * Math.abs(before.coefficients[k]),
    );
    if (!moved) break;
  }
  return { fit, weights };
}

/** Inverse variances of the fitted quantity: of the response, or carried to the concentration by dx/dy. */
function targetWeights(
  model: ResponseModel,
  fit: ResponseFit,
  x: Float64Array,
  variances: Float64Array,
): Float64Array {
  if (model.fits === "response") return variances.map((v) => 1 / v);
  return variances.map((v, i) => {
    const y = model.respond(fit.coefficients, x[i]);
    return 1 / (v * model.invert(fit.coefficients, y).perResponse ** 2);
  });
}

function weightingOf(
  label: string,
  model: ResponseModel,
  fit: ResponseFit,
  responseVariance: (concentration: number) => number,
): ResolvedWeighting {
  return {
    label,
    weightsAt: (x) => targetWeights(model, fit, x, x.map(responseVariance)),
    weightSlope: () => 0,
    relativeVariance(x) {
      if (model.fits === "response") return responseVariance(x);
      const y = model.respond(fit.coefficients, x);
      return responseVariance(x) * model.invert(fit.coefficients, y).perResponse ** 2;
    },
  };
}

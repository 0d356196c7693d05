import { IonbookError } from "../../errors.js";
import { carve } from "../../numeric/carve.js";
import { workArrays } from "../../numeric/work-arrays.js";
import { designFor, fitResponse, type ResponseFit } from "../response/fit-response.js";
import { levelsOf } from "../response/levels.js";
import type { ResponseModel } from "../response/response-models.js";
import type { StandardReading, VarianceFunction } from "../response/types.js";
import { passingDesign } from "../response/weighted-fit.js";
import { type ExpectedScatter, expectedScatter } from "./expected-scatter.js";
import { statedScatter } from "./stated-scatter.js";
import {
  type LevelScatter,
  likeliestFunction,
  requireScatter,
  scatterTable,
  varianceAt,
} from "./variance-function.js";
import type { ResolvedWeighting } from "./weighting.js";

/** A fit whose weights are the inverse variances of the responses, with what follows for a reading. */
export interface ResponseWeightedFit {
  readonly fit: ResponseFit;
  readonly weights: Float64Array;
  readonly weighting: ResolvedWeighting;
  readonly varianceFunction: VarianceFunction | undefined;
  /** What replicates let one expect of a reading, where the weights are fitted to them. */
  readonly expected: (() => ExpectedScatter) | undefined;
}

const TURNS = 40;
const SETTLED = 1e-8;

const variancesOf = workArrays();

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
  const levels = levelsOf(points);
  const scatter = statedScatter(
    levels.map(({ concentration }) => model.respond(fit.coefficients, concentration)),
    levels.map(({ members }) => members.reduce((sum, i) => sum + variances[i], 0) / members.length),
  );
  const weighting = weightingOf("given standard deviations", model, fit, scatter, scatter);
  return { fit, weights, weighting, varianceFunction: undefined, expected: undefined };
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
  requireScatter(scatter);
  const table = scatterTable(scatter);
  const { responses } = table;
  const lowestMean = lowestOf(responses);
  let found: VarianceFunction = { s0: 0, theta: 0, dof: table.dof };
  const variances = variancesOf(x.length);
  const { fit, weights } = settle(model, x, y, (fitted) => {
    for (let j = 0; j < responses.length; j++) responses[j] = fitted[scatter[j].first];
    found = likeliestFunction(table);
    for (let i = 0; i < x.length; i++) variances[i] = floored(found, fitted[i], lowestMean);
    return variances;
  });
  for (let j = 0; j < responses.length; j++) {
    responses[j] = model.respond(fit.coefficients, scatter[j].concentration);
  }
  let expectation: ExpectedScatter | undefined;
  // Most curves of a study are never read.
  const expected = () => {
    expectation ??= expectedScatter(table, x.length - model.powers.length);
    return expectation;
  };
  const last = found;
  const weighting = weightingOf(
    "variance function",
    model,
    fit,
    (response) => floored(last, response, lowestMean),
    (response) => expected().variance(response),
  );
  return { fit, weights, weighting, varianceFunction: found, expected };
}

/** v of a response; without a constant term a reading at zero would weigh infinitely much, so the lowest level is the floor. */
function floored(found: VarianceFunction, response: number, lowest: number): number {
  return varianceAt(found, Math.max(Math.abs(response), found.s0 > 0 ? 0 : lowest));
}

/** The smallest size above zero. */
function lowestOf(responses: Float64Array): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (let j = 0; j < responses.length; j++) {
    const size = Math.abs(responses[j]);
    if (size > 0) lowest = Math.min(lowest, size);
  }
  return lowest;
}

/** Variance, mean and degrees of freedom of every level that was injected more than once. */
export function levelScatter(points: readonly StandardReading[]): readonly ScatterOfLevel[] {
  const found: ScatterOfLevel[] = [];
  for (const { concentration, members } of levelsOf(points)) {
    const dof = members.length - 1;
    if (dof < 1) continue;
    let sum = 0;
    for (const i of members) sum += points[i].response;
    const response = sum / members.length;
    let squares = 0;
    for (const i of members) squares += (points[i].response - response) ** 2;
    found.push({ concentration, first: members[0], response, variance: squares / dof, dof });
  }
  return found;
}

/** The scatter of a level, and where its first reading stands among the points. */
export interface ScatterOfLevel extends LevelScatter {
  readonly concentration: number;
  readonly first: number;
}

const fittedOf = workArrays();

/**
 * The fit that is its own weights' fit.
 * @param variancesAt variances of the readings from their fitted responses
 */
function settle(
  model: ResponseModel,
  x: Float64Array,
  y: Float64Array,
  variancesAt: (fitted: Float64Array) => Float64Array,
): { readonly fit: ResponseFit; readonly weights: Float64Array } {
  const weights = startWeights(x);
  const residuals = carve(x.length);
  const fitted = fittedOf(x.length);
  const start = designFor(model, x, y, weights);
  const { columns } = start;
  let fit = fitResponse(model, x, y, weights, start, residuals);
  for (let turn = 0; turn < TURNS; turn++) {
    const before = fit.coefficients;
    putFitted(fitted, model, fit, x, y);
    putWeights(weights, model, before, fitted, variancesAt(fitted));
    fit = fitResponse(model, x, y, weights, passingDesign(columns, weights), residuals);
    if (!moved(before, fit.coefficients)) break;
  }
  return { fit, weights };
}

/** The curve's responses to the points. */
function putFitted(
  fitted: Float64Array,
  model: ResponseModel,
  { coefficients, residuals }: ResponseFit,
  x: Float64Array,
  y: Float64Array,
): void {
  const ofResponse = model.fits === "response";
  for (let i = 0; i < x.length; i++) {
    fitted[i] = ofResponse ? y[i] - residuals[i] : model.respond(coefficients, x[i]);
  }
}

/** 1/x², at a zero level the largest of the others. */
function startWeights(x: Float64Array): Float64Array {
  const weights = carve(x.length);
  let largest = 0;
  for (let i = 0; i < x.length; i++) {
    weights[i] = x[i] > 0 ? x[i] ** -2 : 0;
    largest = Math.max(largest, weights[i]);
  }
  for (let i = 0; i < x.length; i++) if (!(weights[i] > 0)) weights[i] = largest;
  return weights;
}

function moved(before: Float64Array, after: Float64Array): boolean {
  for (let k = 0; k < after.length; k++) {
    if (Math.abs(after[k] - before[k]) > SETTLED * Math.abs(before[k])) return true;
  }
  return false;
}

/** Inverse variances of the fitted quantity: of the response, or carried to the concentration by dx/dy. */
function putWeights(
  weights: Float64Array,
  model: ResponseModel,
  coefficients: Float64Array,
  fitted: Float64Array,
  variances: Float64Array,
): void {
  const ofResponse = model.fits === "response";
  for (let i = 0; i < weights.length; i++) {
    const toTarget = ofResponse ? 1 : model.perResponse(coefficients, fitted[i]) ** 2;
    weights[i] = 1 / (variances[i] * toTarget);
  }
}

/** Weights of standards from one variance of the response, the scatter of a reading from another. */
function weightingOf(
  label: string,
  model: ResponseModel,
  fit: ResponseFit,
  ofStandards: (response: number) => number,
  ofReading: (response: number) => number,
): ResolvedWeighting {
  return {
    label,
    weightsAt(x) {
      const weights = new Float64Array(x.length);
      const fitted = x.map((concentration) => model.respond(fit.coefficients, concentration));
      putWeights(weights, model, fit.coefficients, fitted, fitted.map(ofStandards));
      return weights;
    },
    weightSlope: () => 0,
    relativeVariance(x) {
      const response = model.respond(fit.coefficients, x);
      if (model.fits === "response") return ofReading(response);
      return ofReading(response) * model.perResponse(fit.coefficients, response) ** 2;
    },
  };
}

import { IonbookError, isIonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { carveFrom } from "../../numeric/carve.js";
import { fitResponse, type ResponseFit, refuseFalling, refuseFlat } from "../response/fit-response.js";
import { concentrationsOf } from "../response/levels.js";
import { newDesign, rememberedDesign } from "../response/remembered-designs.js";
import { type ResponseModel, responseModel } from "../response/response-models.js";
import type {
  CalibrateOptions,
  Calibration,
  CalibrationModel,
  GivenDeviations,
  StandardReading,
  VarianceFunction,
} from "../response/types.js";
import type { ExpectedScatter } from "../weights/expected-scatter.js";
import { fitGivenDeviations, fitWithVarianceFunction } from "../weights/response-weighting.js";
import { interpolateOverLevels, type ResolvedWeighting, resolveWeighting } from "../weights/weighting.js";
import { checkPoints, requirePoints } from "./check-points.js";
import {
  type CoefficientCovariance,
  residualCovariance,
  statedCovariance,
} from "./coefficient-covariance.js";
import { ResponseCurve } from "./curve.js";
import { curveName, once, ownSources } from "./curve-name.js";
import { physicalModel } from "./physical-response.js";
import { sortReadings } from "./rejected-readings.js";
import { coefficientShifts, sharedErrors } from "./standard-sources.js";
import { levelOffText, suspiciousLevel } from "./suspicious-levels.js";

const KNOWN_OPTIONS = {
  model: true,
  weighting: true,
  ion: true,
  unit: true,
  name: true,
  covarianceFrom: true,
  physical: true,
  reason: true,
} as const;

/**
 * The response curve of a set of standards, ready to turn readings into concentrations with uncertainty.
 *
 *     linear        y = b₀ + b₁x
 *     through-zero  y = b₁x                   coefficients [0, b₁]
 *     quadratic     y = b₀ + b₁x + b₂x²
 *     weak          x = a₁y + a₂y², a ≥ 0     coefficients [a₁, a₂]; weak acids and bases after suppression
 *     physical      y = γ·A(x)                coefficient [γ]; A from ionic equilibrium, see `physicalModel`
 *
 * Weighted least squares: Q = Σ w(y − ŷ)² smallest, for "weak" Q = Σ w(x̂ − x)²; s_w² = Q/(n − p);
 * Cov(b) = s_w²(XᵀWX)⁻¹, or from known variances (see `CalibrateOptions.covarianceFrom`). Multiplying all weights by
 * a constant changes nothing. Concentrations x in `unit` (mg/L), responses y in any one unit (µS/cm·min).
 *
 * A reading with `rejected: "reason"` does not count and stays visible; what is doubtful though it can be computed stands
 * in `warnings`. What standards share by name (a stock, a flask) reaches every result as a source of its own. r² is about the mean
 * for curves with an intercept, about zero for the others.
 *
 * @throws IonbookError "unknown-option", "bad-option", "bad-points", "unknown-model", "unknown-weighting", "unknown-ion", "too-few-points", "too-few-levels",
 *   "not-a-number", "negative-concentration", "negative-uncertainty", "bad-dof", "zero-level" (1/x weights at x = 0),
 *   "weights-mismatch", "bad-weight", "no-replicates", "no-scatter", "variances-mismatch", "bad-variance", "no-reason",
 *   "flat-line", "falling-line", "dependent-columns"; for "physical" those of `physicalModel`
 * @source weighted least squares: N. R. Draper and H. Smith, Applied Regression Analysis (from memory); "weak" from the
 *   ionisation equilibrium of a weak acid or base after suppression, C = r + r²/K (derived)
 */
export function calibrate(points: readonly StandardReading[], options: CalibrateOptions = {}): Calibration {
  requirePoints(points, options, "calibrate");
  requireKnownOptions(options, KNOWN_OPTIONS, "calibrate");
  const { model: modelName = "linear", unit = "mg/L", reason } = options;
  if (modelName !== "physical") responseModel(modelName);
  const { used: counted, rejected } = sortReadings(points);
  checkPoints(counted, modelName);
  const ionName = options.ion === undefined ? undefined : ion(options.ion).name;
  const stated = statedFor(options.covarianceFrom, points);
  const x = concentrationsOf(counted);
  const y = carveFrom(counted, (point) => point.response);
  const range = extremes(x);
  refuseFlat(y);
  const model = modelFor(modelName, ionName, options.physical, x);
  const { fit, weights, weighting, varianceFunction, expected } = namingTheSlip(
    counted,
    ionName,
    unit,
    () => {
      const fitted = fitStandards(model, counted, x, y, weightingFor(options.weighting, points), unit);
      const designOf = fitted.varianceFunction ? newDesign : rememberedDesign;
      refuseFalling(model, fitted.fit, { x, y, weights: fitted.weights }, range, designOf);
      return fitted;
    },
  );

  const name = options.name ?? curveName(ionName, modelName, [x, y, weights]);
  const ownFlask = (level: number) => `standard ${level} ${unit} of ${name}`;
  const shared = sharedErrors(counted, stated ? undefined : ownFlask);
  const dof = counted.length - model.powers.length;
  const classical = residualCovariance(fit, dof);
  const used = stated
    ? statedCovariance(model, fit, x, y, weights, { stated, shared: shared.map((s) => s.contributions) })
    : classical;
  const readingVariance = stated
    ? statedReadingVariance(counted, stated.responseVariances, used)
    : residualReadingVariance(model, fit, dof, weighting.relativeVariance, range[0]);
  const shifts = coefficientShifts(model, fit, { x, y, weights }, weighting, shared);
  const ownDof = used.basis.dof;
  return new ResponseCurve(
    {
      name,
      ownSources: once(() => ownSources(name, model.powers.length, ownDof)),
      unit,
      model,
      coefficients: fit.coefficients,
      factor: used.factor,
      dof: ownDof,
      shifts,
      readingVariance,
      readingDof: (concentration) =>
        stated || !expected
          ? ownDof
          : Math.min(ownDof, expected().dof(model.respond(fit.coefficients, concentration))),
      scatterKnown: !stated && saysScatter(options.weighting),
      highest: range[1],
    },
    {
      ion: ionName,
      modelName,
      weighting: weighting.label,
      points: counted,
      rejected,
      reason,
      varianceFunction,
      expected,
      x,
      y,
      weights,
      range,
      fit,
      dof,
      classical,
      used,
    },
  );
}

/** A fit that one wrong level makes fall is refused with that level's name. */
function namingTheSlip<Fitted>(
  points: readonly StandardReading[],
  ionName: string | undefined,
  unit: string,
  fit: () => Fitted,
): Fitted {
  try {
    return fit();
  } catch (error) {
    if (!isIonbookError(error) || error.code !== "falling-line") throw error;
    const off = suspiciousLevel(points, ionName);
    throw off ? new IonbookError("falling-line", `${error.message}. ${levelOffText(off, unit)}`) : error;
  }
}

/** The model with what it needs to know. */
function modelFor(
  name: CalibrationModel,
  ionName: string | undefined,
  cell: CalibrateOptions["physical"],
  x: Float64Array,
): ResponseModel {
  if (name !== "physical") return responseModel(name);
  const positive = x.filter((value) => value > 0);
  return physicalModel(ionName, cell, [Math.min(...positive), Math.max(...positive)]);
}

function extremes(x: Float64Array): readonly [low: number, high: number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < x.length; i++) {
    low = Math.min(low, x[i]);
    high = Math.max(high, x[i]);
  }
  return [low, high];
}

/** What is given one for a point, without the points left out. */
function ofCounted<Value>(values: readonly Value[], points: readonly StandardReading[]): readonly Value[] {
  return values.length === points.length ? values.filter((_, i) => points[i].rejected === undefined) : values;
}

function weightingFor(
  weighting: CalibrateOptions["weighting"],
  points: readonly StandardReading[],
): CalibrateOptions["weighting"] {
  if (Array.isArray(weighting)) return ofCounted(weighting as readonly number[], points);
  if (!hasDeviations(weighting)) return weighting;
  requireKnownOptions(weighting, { standardDeviations: true }, "weighting");
  return { standardDeviations: ofCounted(weighting.standardDeviations, points) };
}

function hasDeviations(weighting: CalibrateOptions["weighting"]): weighting is GivenDeviations {
  return (
    typeof weighting === "object" &&
    "standardDeviations" in weighting &&
    Array.isArray(weighting.standardDeviations)
  );
}

/** Whether weights are the scatter of the readings, stated or fitted, and not a rule. */
function saysScatter(weighting: CalibrateOptions["weighting"]): boolean {
  return weighting === "variance-function" || hasDeviations(weighting);
}

function statedFor(
  stated: CalibrateOptions["covarianceFrom"],
  points: readonly StandardReading[],
): CalibrateOptions["covarianceFrom"] {
  if (stated === undefined || !Array.isArray(stated.responseVariances)) return stated;
  return { ...stated, responseVariances: ofCounted(stated.responseVariances, points) };
}

interface FittedWeights {
  readonly fit: ResponseFit;
  readonly weights: Float64Array;
  readonly weighting: ResolvedWeighting;
  readonly varianceFunction: VarianceFunction | undefined;
  readonly expected: (() => ExpectedScatter) | undefined;
}

/** The fit under a weighting; those in the response are iterated with it. */
function fitStandards(
  model: ResponseModel,
  points: readonly StandardReading[],
  x: Float64Array,
  y: Float64Array,
  wanted: CalibrateOptions["weighting"],
  unit: string,
): FittedWeights {
  if (wanted === "variance-function") return fitWithVarianceFunction(model, points, x, y);
  if (hasDeviations(wanted)) return fitGivenDeviations(model, points, x, y, wanted.standardDeviations);
  const weighting = resolveWeighting(points, wanted as Parameters<typeof resolveWeighting>[1], unit);
  const weights = weighting.weightsAt(x);
  const fit = fitResponse(model, x, y, weights);
  return { fit, weights, weighting, varianceFunction: undefined, expected: undefined };
}

/** s_w²/w₀, for "weak" carried from the concentration to the response; below the lowest level that of the level. */
function residualReadingVariance(
  model: ResponseModel,
  fit: ResponseFit,
  dof: number,
  relativeVariance: (x: number) => number,
  lowest: number,
): (x: number) => number {
  const variance = fit.sumOfSquares / dof;
  if (model.fits === "response") return (x) => variance * relativeVariance(x);
  return (concentration) => {
    const x = Math.max(concentration, lowest);
    const perResponse = model.perResponse(fit.coefficients, model.respond(fit.coefficients, x));
    return (variance * relativeVariance(x)) / perResponse ** 2;
  };
}

/** The stated variances between and beyond the levels, inflated as Cov(b) is. */
function statedReadingVariance(
  points: readonly StandardReading[],
  variances: readonly number[],
  used: CoefficientCovariance,
): (x: number) => number {
  const between = interpolateOverLevels(points, variances);
  return (x) => used.basis.inflation * between(x);
}

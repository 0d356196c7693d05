import { ion } from "../ions/ion-table.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { checkPoints, requirePoints } from "./check-points.js";
import {
  type CoefficientCovariance,
  residualCovariance,
  statedCovariance,
} from "./coefficient-covariance.js";
import { ResponseCurve } from "./curve.js";
import { fitResponse, type ResponseFit, refuseFalling } from "./fit-response.js";
import { type ResponseModel, responseModel } from "./response-models.js";
import { coefficientShifts, sharedErrors } from "./standard-sources.js";
import type { CalibrateOptions, Calibration, StandardReading } from "./types.js";
import { interpolateOverLevels, resolveWeighting } from "./weighting.js";

const KNOWN_OPTIONS = {
  model: true,
  weighting: true,
  ion: true,
  unit: true,
  name: true,
  covarianceFrom: true,
} as const;

/**
 * The response curve of a set of standards, ready to turn readings into concentrations with uncertainty.
 *
 *     linear        y = b₀ + b₁x
 *     through-zero  y = b₁x                   coefficients [0, b₁]
 *     quadratic     y = b₀ + b₁x + b₂x²
 *     weak          x = a₁y + a₂y², a ≥ 0     coefficients [a₁, a₂]; weak acids and bases after suppression
 *
 * Weighted least squares: Q = Σ w(y − ŷ)² smallest, for "weak" Q = Σ w(x̂ − x)²; s_w² = Q/(n − p);
 * Cov(b) = s_w²(XᵀWX)⁻¹, or from known variances (see `CalibrateOptions.covarianceFrom`). Multiplying all weights by
 * a constant changes nothing. Concentrations x in `unit` (mg/L), responses y in any one unit (µS/cm·min).
 *
 * What standards share by name (a stock, a flask) reaches every result as a source of its own. r² is about the mean
 * for curves with an intercept, about zero for the others.
 *
 * @throws IonbookError "unknown-option", "bad-option", "bad-points", "unknown-model", "unknown-weighting", "unknown-ion", "too-few-points", "too-few-levels",
 *   "not-a-number", "negative-concentration", "negative-uncertainty", "zero-level" (1/x weights at x = 0),
 *   "weights-mismatch", "bad-weight", "variances-mismatch", "bad-variance", "falling-line", "dependent-columns"
 * @source weighted least squares: N. R. Draper and H. Smith, Applied Regression Analysis (from memory); "weak" from the
 *   ionisation equilibrium of a weak acid or base after suppression, C = r + r²/K (derived)
 */
export function calibrate(points: readonly StandardReading[], options: CalibrateOptions = {}): Calibration {
  requirePoints(points, options);
  requireKnownOptions(options, KNOWN_OPTIONS, "calibrate");
  const { model: modelName = "linear", unit = "mg/L", covarianceFrom: stated } = options;
  const model = responseModel(modelName);
  checkPoints(points, modelName);
  const weighting = resolveWeighting(points, options.weighting, unit);
  const ionName = options.ion === undefined ? undefined : ion(options.ion).name;
  const x = Float64Array.from(points, (point) => point.concentration);
  const y = Float64Array.from(points, (point) => point.response);
  const weights = weighting.weightsAt(x);
  const fit = fitResponse(model, x, y, weights);
  refuseFalling(model, fit, x, y, weights);

  const name = options.name ?? ["curve", ionName, fingerprint(x, y, modelName, weights)].join(" ").trim();
  const ownFlask = (level: number) => `standard ${level} ${unit} of ${name}`;
  const shared = sharedErrors(points, stated ? undefined : ownFlask);
  const dof = points.length - model.powers.length;
  const classical = residualCovariance(fit, dof);
  const used = stated
    ? statedCovariance(model, fit, x, y, weights, { stated, shared: shared.map((s) => s.contributions) })
    : classical;
  const readingVariance = stated
    ? statedReadingVariance(points, stated.responseVariances, used)
    : residualReadingVariance(model, fit, dof, weighting.relativeVariance, Math.min(...x));
  const shifts = coefficientShifts(model, fit, { x, y, weights }, weighting, shared);
  return new ResponseCurve(
    {
      name,
      ownSources: model.powers.map((_, k) => `${name} (${k + 1})`),
      unit,
      model,
      coefficients: fit.coefficients,
      factor: used.factor,
      dof: used.basis.dof,
      shifts,
      readingVariance,
    },
    { ion: ionName, modelName, weighting: weighting.label, points, x, y, weights, fit, dof, classical, used },
  );
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
    const { perResponse } = model.invert(fit.coefficients, model.respond(fit.coefficients, x));
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

/**
 * Four hexadecimal digits from the data and the choices, so that two curves of one ion are two sources and the same
 * curve fitted twice is one. FNV-1a over the bytes of the numbers.
 */
function fingerprint(x: Float64Array, y: Float64Array, model: string, weights: Float64Array): string {
  let hash = 0x811c9dc5;
  const take = (byte: number) => {
    hash = Math.imul(hash ^ byte, 0x01000193);
  };
  for (const numbers of [x, y, weights]) for (const byte of new Uint8Array(numbers.buffer)) take(byte);
  for (const letter of model) take(letter.charCodeAt(0));
  return ((hash ^ (hash >>> 16)) & 0xffff).toString(16).padStart(4, "0");
}

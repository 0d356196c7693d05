import { IonbookError } from "../../errors.js";
import { carve } from "../../numeric/carve.js";
import { workArrays } from "../../numeric/work-arrays.js";
import { type DesignSource, newDesign, rememberedDesign } from "./remembered-designs.js";
import { type ResponseModel, responseModel } from "./response-models.js";
import { type Design, fitDesign, type WeightedFit, weightedFit } from "./weighted-fit.js";

/** A response model fitted to standards. Coefficients are the free ones. */
export interface ResponseFit {
  readonly coefficients: Float64Array;
  /** target − fitted, in the response (or, "weak", in the concentration). */
  readonly residuals: Float64Array;
  /** Q = Σ w r² */
  readonly sumOfSquares: number;
  /** (XᵀWX)⁻¹ of all free coefficients, bounded or not; row-major. */
  readonly inverseNormal: Float64Array;
  /** The one coefficient above its bound where the other is held at zero. */
  readonly alone: number | undefined;
}

const passingResiduals = workArrays();

/**
 * The coefficients that make Q = Σ w(y − f(x))² smallest, for "weak" Q = Σ w(x − f(y))² with no coefficient below
 * zero. Where the bound acts, (XᵀWX)⁻¹ stays that of the unbounded fit: the bound is knowledge of
 * the sign, not of the size.
 * @param design of these weights
 * @param residuals where the residuals are put; default an array of their own
 * @throws IonbookError "falling-line", "dependent-columns"
 */
export function fitResponse(
  model: ResponseModel,
  x: Float64Array,
  y: Float64Array,
  weights: Float64Array,
  design: Design = designFor(model, x, y, weights),
  residuals: Float64Array = carve(x.length),
): ResponseFit {
  if (model.fits === "response") return unbounded(fitDesign(design, y, residuals));
  const free = fitDesign(design, x, residuals);
  for (let k = 0; k < free.coefficients.length; k++) {
    if (!(free.coefficients[k] >= 0)) return { ...free, ...bounded(design.columns, x, weights) };
  }
  return unbounded(free);
}

/** Levels come again with every ion, responses do not. */
export function designFor(
  model: ResponseModel,
  x: Float64Array,
  y: Float64Array,
  weights: Float64Array,
): Design {
  return model.fits === "concentration" ? newDesign(model, y, weights) : rememberedDesign(model, x, weights);
}

function unbounded({ coefficients, residuals, sumOfSquares, inverseNormal }: WeightedFit): ResponseFit {
  return { coefficients, residuals, sumOfSquares, inverseNormal, alone: undefined };
}

/** The best fit with one of the two coefficients at its bound of zero. */
function bounded(
  columns: readonly Float64Array[],
  target: Float64Array,
  weights: Float64Array,
): Omit<ResponseFit, "inverseNormal"> {
  let best: { fit: WeightedFit; at: number } | undefined;
  for (let at = 0; at < columns.length; at++) {
    const fit = weightedFit([columns[at]], target, weights);
    if (fit.coefficients[0] > 0 && !(best && best.fit.sumOfSquares <= fit.sumOfSquares)) best = { fit, at };
  }
  if (!best) throw fallingLine("the responses do not rise from zero");
  const coefficients = new Float64Array(columns.length);
  coefficients[best.at] = best.fit.coefficients[0];
  const { residuals, sumOfSquares } = best.fit;
  return { coefficients, residuals, sumOfSquares, alone: best.at };
}

/**
 * Refuses responses that are all the same.
 * @throws IonbookError "flat-line"
 */
export function refuseFlat(y: Float64Array): void {
  if (y.some((value) => value !== y[0])) return;
  throw new IonbookError(
    "flat-line",
    "The response is the same at all concentrations: look for the right peak, or for the column that was read as response",
  );
}

/**
 * Refuses a curve that does not rise from the lowest to the highest standard.
 * @throws IonbookError "falling-line"
 */
export function refuseFalling(
  model: ResponseModel,
  fit: ResponseFit,
  { x, y, weights }: { readonly x: Float64Array; readonly y: Float64Array; readonly weights: Float64Array },
  [low, high]: readonly [low: number, high: number],
  designOf: DesignSource = rememberedDesign,
): void {
  const rise =
    model.respond(fit.coefficients, high) - model.respond(fit.coefficients, model.powers[0] ? 0 : low);
  if (!(rise > 0)) throw fallingLine(`the fitted response changes by ${rise.toPrecision(4)} over the range`);
  if (model.fits === "response") return;
  // A curve held at positive coefficients always rises; whether the data do, a free line tells.
  const design = designOf(responseModel("linear"), x, weights);
  const straight = fitDesign(design, y, passingResiduals(x.length));
  if (!(straight.coefficients[1] > 0)) throw fallingLine("the responses fall as the concentrations rise");
}

function fallingLine(why: string): IonbookError {
  return new IonbookError(
    "falling-line",
    `The response does not rise with the concentration (${why}). Look for swapped standards or a wrong peak; ` +
      "a falling line can be fitted with fitPolynomial, but not used as a calibration",
  );
}

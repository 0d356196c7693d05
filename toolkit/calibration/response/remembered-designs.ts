import { columnsOf, passingColumnsOf, type ResponseModel } from "./response-models.js";
import { type Design, lastingDesign, passingDesign } from "./weighted-fit.js";

/** Where the design of a model over a predictor comes from. */
export type DesignSource = (model: ResponseModel, predictor: Float64Array, weights: Float64Array) => Design;

/** A design that holds until the next one: for weights that do not come again. */
export const newDesign: DesignSource = (model, predictor, weights) =>
  passingDesign(passingColumnsOf(model, predictor), weights);

/** The models and weights of one list of standards, and then some; the one not asked for longest goes first. */
const KEPT = 16;

interface Remembered {
  readonly model: ResponseModel;
  readonly predictor: Float64Array;
  readonly design: Design;
}

/** From the one asked for last to the one not asked for longest. */
const kept: Remembered[] = [];

/**
 * The design of a model over a predictor, factored once for the same model, predictor and weights: all ions of a mixed
 * standard share their levels, and every weighting by name its weights. For models that are the same object at every call.
 * @throws IonbookError "dependent-columns", "too-few-points"
 */
export function rememberedDesign(
  model: ResponseModel,
  predictor: Float64Array,
  weights: Float64Array,
): Design {
  for (let k = 0; k < kept.length; k++) {
    const found = kept[k];
    if (found.model === model && same(found.design.weights, weights) && same(found.predictor, predictor)) {
      for (let j = k; j > 0; j--) kept[j] = kept[j - 1];
      kept[0] = found;
      return found.design;
    }
  }
  const design = lastingDesign(columnsOf(model, predictor), weights.slice());
  kept.unshift({ model, predictor: predictor.slice(), design });
  if (kept.length > KEPT) kept.pop();
  return design;
}

function same(a: Float64Array, b: Float64Array): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

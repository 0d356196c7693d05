import { carve } from "../../numeric/carve.js";
import type { ResponseModel } from "../response/response-models.js";
import type { BackCalculated, LargestErrors } from "../response/types.js";

/** What the curve reads off its own standards; NaN beyond the vertex of a parabola. */
export function foundConcentrations(
  model: ResponseModel,
  coefficients: Float64Array,
  y: Float64Array,
): Float64Array {
  const found = carve(y.length);
  for (let i = 0; i < y.length; i++) found[i] = model.find(coefficients, y[i]);
  return found;
}

/** 100 (found − given)/given; NaN at zero. */
export function relativeErrorPercent(given: number, found: number): number {
  return given > 0 ? (100 * (found - given)) / given : Number.NaN;
}

/** Each standard beside what is found of it. */
export function backCalculated(x: Float64Array, found: Float64Array): readonly BackCalculated[] {
  return Array.from(x, (concentration, i) => ({
    concentration,
    found: found[i],
    relativeErrorPercent: relativeErrorPercent(concentration, found[i]),
  }));
}

/** The largest |error| in %, a standard without an inverse counting as infinitely far off. */
export function largestErrors(x: Float64Array, found: Float64Array): LargestErrors {
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = 0; i < x.length; i++) if (x[i] > 0) lowest = Math.min(lowest, x[i]);
  let atLowest = 0;
  let above = 0;
  for (let i = 0; i < x.length; i++) {
    if (!(x[i] > 0)) continue;
    const error = relativeErrorPercent(x[i], found[i]);
    const size = Number.isNaN(error) ? Infinity : Math.abs(error);
    if (x[i] === lowest) atLowest = Math.max(atLowest, size);
    else above = Math.max(above, size);
  }
  return { atLowest, above };
}

/** 100·√[Σ((x̂ − x)/x)²/(n − p)] over the levels above zero. */
export function relativeStandardError(x: Float64Array, found: Float64Array, dof: number): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) if (x[i] > 0) sum += relativeErrorPercent(x[i], found[i]) ** 2;
  return Math.sqrt(sum / dof);
}

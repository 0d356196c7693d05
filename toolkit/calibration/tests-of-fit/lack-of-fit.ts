import { fisherQuantile, fisherUpperTail } from "../../numeric/distributions.js";
import { levelsOf } from "../response/levels.js";
import type { LackOfFit, StandardReading } from "../response/types.js";

const SIGNIFICANCE = 0.05;

/**
 * Lack of fit against pure error:
 *
 *     F = [(Q − Q_pe)/(k − p)] / [Q_pe/(n − k)]
 *
 * Q = Σ w r² of the fit; Q_pe = Σ w(r − r̄ⱼ)² about the level means; n readings, k levels, p coefficients. Residuals
 * r are those of the fitted quantity (the response; for "weak" the concentration). `undefined` where it cannot be
 * asked: no level has replicates, or no more levels than coefficients, or the replicates agree to the last digit.
 *
 * @source N. R. Draper and H. Smith, Applied Regression Analysis, §1.5; weighted form derived
 */
export function lackOfFit(
  points: readonly StandardReading[],
  residuals: Float64Array,
  weights: Float64Array,
  coefficients: number,
): LackOfFit | undefined {
  const levels = levelsOf(points);
  const dfNumerator = levels.length - coefficients;
  const dfDenominator = points.length - levels.length;
  if (dfNumerator < 1 || dfDenominator < 1) return undefined;
  let pureError = 0;
  let between = 0;
  for (const { members } of levels) {
    let weight = 0;
    let sum = 0;
    for (const i of members) {
      weight += weights[i];
      sum += weights[i] * residuals[i];
    }
    const mean = sum / weight;
    between += weight * mean ** 2;
    for (const i of members) pureError += weights[i] * (residuals[i] - mean) ** 2;
  }
  if (!(pureError > 0)) return undefined;
  const F = between / dfNumerator / (pureError / dfDenominator);
  const p = fisherUpperTail(F, dfNumerator, dfDenominator);
  const passed = p >= SIGNIFICANCE;
  return {
    F,
    dfNumerator,
    dfDenominator,
    p,
    critical: fisherQuantile(1 - SIGNIFICANCE, dfNumerator, dfDenominator),
    passed,
    verdict: passed
      ? "the levels lie as near to the curve as replicates scatter"
      : "the levels lie farther from the curve than replicates scatter: another model, or a wrong level",
    source: "Draper and Smith, Applied Regression Analysis, §1.5, 5 %",
  };
}

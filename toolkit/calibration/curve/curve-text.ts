import type { Calibration, CalibrationModel, VarianceFunction } from "../response/types.js";

const FORMULA: Readonly<Record<CalibrationModel, string>> = {
  linear: "y = b0 + b1·x",
  "through-zero": "y = b1·x",
  quadratic: "y = b0 + b1·x + b2·x²",
  weak: "x = a1·y + a2·y²",
  physical: "y = γ·A(x), A from ionic equilibrium",
};

/** A calibration in words and figures. */
export function curveText(curve: Calibration): string {
  const letter = curve.model === "weak" ? "a" : "b";
  const first = curve.model === "weak" ? 1 : 0;
  const named = (k: number) => (curve.model === "physical" ? "γ" : `${letter}${k + first}`);
  const coefficients = curve.coefficients
    .map((value, k) => `${named(k)} = ${value.toPrecision(6)} ± ${curve.standardErrors[k].toPrecision(2)}`)
    .filter((_, k) => !(curve.model === "through-zero" && k === 0));
  const { from, inflation } = curve.covarianceBasis;
  const basis =
    from === "residuals" ? "" : ` (u from stated variances, inflated ×${inflation.toPrecision(3)})`;
  return [
    `${curve.ion ?? "calibration"}: ${FORMULA[curve.model]}, weights ${curve.weighting}`,
    `${coefficients.join(", ")}${basis}`,
    `${curve.points.length} readings from ${curve.range[0]} to ${curve.range[1]} ${curve.unit}, ` +
      `relative standard error ${curve.relativeStandardErrorPercent.toPrecision(3)} %`,
    ...(curve.varianceFunction ? [varianceText(curve.varianceFunction)] : []),
    ...(curve.reason === undefined ? [] : [curve.reason]),
    ...curve.rejected.map(
      ({ point, concentration, response, reason }) =>
        `left out: ${point.label ?? `${concentration} ${curve.unit}, response ${response}`}: ${reason}`,
    ),
    ...curve.warnings.map(({ message }) => `warning: ${message}`),
  ].join("\n");
}

function varianceText({ s0, theta, dof }: VarianceFunction): string {
  return `scatter √(${s0.toPrecision(2)}² + (${theta.toPrecision(2)}·y)²), from ${dof} degrees of freedom`;
}

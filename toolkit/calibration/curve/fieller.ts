import { IonbookError } from "../../errors.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import type { Calibration } from "../response/types.js";

/** A coverage interval that need not be symmetric about the value. */
export interface FiellerInterval {
  readonly low: number;
  readonly high: number;
  readonly level: number;
  /** g = t²·V₁₁/b₁²: the squared relative half-width of the slope. Above 0.05 prefer this interval to value ± k·u. */
  readonly g: number;
}

/**
 * Exact coverage interval of a concentration read off a straight line whose slope is uncertain: the x between the
 * roots of
 *
 *     (b₁² − t²V₁₁)x² − 2[b₁(y₀ − b₀) + t²V₀₁]x + (y₀ − b₀)² − t²(u²(y₀) + V₀₀) = 0
 *
 * V covariance of the coefficients, with what the standards bring by name; u²(y₀) variance of the mean reading;
 * t the Student factor of the result's degrees of freedom. Unit of the concentration. Where g < 0.05 it agrees with
 * value ± k·u; at g ≥ 1 the slope could be zero and no finite interval exists.
 *
 * @param level coverage probability, default 0.95
 * @throws IonbookError "not-linear" for quadratic and weak curves; "no-finite-interval" at g ≥ 1; "bad-level"; those
 *   of `concentration`
 * @source E. C. Fieller, J. R. Statist. Soc. B 16 (1954) 175
 */
export function fiellerInterval(
  calibration: Calibration,
  response: number | readonly number[] | MeasuredValue,
  options: { readonly u?: number; readonly level?: number } = {},
): FiellerInterval {
  if (calibration.model !== "linear" && calibration.model !== "through-zero") {
    throw new IonbookError(
      "not-linear",
      `Fieller's interval belongs to straight lines, this curve is ${calibration.model}: use concentration().interval()`,
    );
  }
  const { level = 0.95, u } = options;
  const found = calibration.concentration(response, {
    beyondRange: "allow",
    ...(u === undefined ? {} : { u }),
  });
  const t = found.interval(level).k;
  const [b0, b1] = calibration.coefficients;
  const [[v00, v01], [, v11]] = calibration.covarianceWithStandards;
  const y = b0 + b1 * found.value;
  // What the curve does not explain of u(x₀) is the reading's.
  const x = found.value;
  const ofReading = Math.max(0, (b1 * found.u) ** 2 - (v00 + 2 * v01 * x + v11 * x * x));
  const g = (t * t * v11) / (b1 * b1);
  if (!(g < 1)) {
    throw new IonbookError(
      "no-finite-interval",
      `The slope is not known to be above zero (g = ${g.toPrecision(3)}): no finite interval at ${100 * level} %. ` +
        "Add standards or replicates",
    );
  }
  const a = b1 * b1 - t * t * v11;
  const half = b1 * (y - b0) + t * t * v01;
  const c = (y - b0) ** 2 - t * t * (ofReading + v00);
  const root = Math.sqrt(Math.max(0, half * half - a * c));
  return { low: (half - root) / a, high: (half + root) / a, level, g };
}

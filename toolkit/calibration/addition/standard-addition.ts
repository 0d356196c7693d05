import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { fromSources, type MeasuredValue } from "../../uncertainty/measured.js";
import { weightedFit } from "../response/weighted-fit.js";

/** One addition: what was added (already corrected for the volume) and what came out. */
export interface StandardAddition {
  /** mg/L in the measured solution. */
  readonly added: number;
  readonly response: number;
}

/**
 * Concentration in the measured solution by standard addition: where the line meets zero response.
 *
 *     c = b₀/b₁,   u(c) = (s/b₁)·√[1/n + ȳ²/(b₁²·Σ(x − x̄)²)],   n − 2 degrees of freedom
 *
 * x added concentration (mg/L, corrected for the volume of the addition), y response, s residual standard deviation.
 * Valid for a straight, blank-corrected response; the top addition should be 1.5 to 3 times what was there. A
 * constant offset of the response is not cured.
 *
 * @throws IonbookError "too-few-points", "too-few-levels", "not-a-number", "negative-concentration", "falling-line",
 *   "unknown-option", "bad-option"
 * @source J. N. Miller and J. C. Miller, Statistics and Chemometrics for Analytical Chemistry, ch. 5
 */
export function standardAddition(
  points: readonly StandardAddition[],
  options: StandardAdditionOptions = {},
): MeasuredValue {
  requireKnownOptions(options, { unit: true, source: true }, "standardAddition");
  return additionLine(points, options).concentration;
}

export interface StandardAdditionOptions {
  /** Unit of the additions and of the result. @default "mg/L" */
  readonly unit?: string;
  /** Name of the result's source. @default one of its own */
  readonly source?: string;
}

/** The line of a standard addition. */
export interface AdditionLine {
  readonly concentration: MeasuredValue;
  readonly intercept: number;
  readonly slope: number;
  /** (XᵀX)⁻¹·s², row-major 2 × 2. */
  readonly covariance: Float64Array;
  readonly residualStandardDeviation: number;
  readonly dof: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** The line and where it meets zero response; additions are checked, options are not. */
export function additionLine(
  points: readonly StandardAddition[],
  options: StandardAdditionOptions,
): AdditionLine {
  requireAdditions(points);
  const n = points.length;
  const x = Float64Array.from(points, (point) => point.added);
  const y = Float64Array.from(points, (point) => point.response);
  const { coefficients, sumOfSquares, inverseNormal } = weightedFit(
    [new Float64Array(n).fill(1), x],
    y,
    new Float64Array(n).fill(1),
  );
  const [b0, b1] = coefficients;
  if (!(b1 > 0)) {
    throw new IonbookError(
      "falling-line",
      `The response does not rise with the addition (slope ${b1}): look for swapped vials`,
    );
  }
  const variance = sumOfSquares / (n - 2);
  const covariance = inverseNormal.map((entry) => variance * entry);
  const c = b0 / b1;
  // By b₀ and b₁ with their covariance; the same as the formula about the means above.
  const u = Math.sqrt(covariance[0] - 2 * c * covariance[1] + c * c * covariance[3]) / b1;
  const source = options.source ?? nextAddition();
  const concentration = fromSources(c, options.unit ?? "mg/L", [{ source, contribution: u, u, dof: n - 2 }]);
  const residualStandardDeviation = Math.sqrt(variance);
  return { concentration, intercept: b0, slope: b1, covariance, residualStandardDeviation, dof: n - 2, x, y };
}

function requireAdditions(points: readonly StandardAddition[]): void {
  if (!Array.isArray(points)) {
    throw new IonbookError(
      "too-few-points",
      "Standard addition needs a list of additions: standardAddition([{ added: 0, response: 0.4 }, …])",
    );
  }
  if (points.length < 3) {
    throw new IonbookError(
      "too-few-points",
      `Standard addition needs at least three points, there are ${points.length}: inject the sample as it is and with two or more additions`,
    );
  }
  points.forEach(checkAddition);
  if (new Set(points.map(({ added }) => added)).size > 1) return;
  throw new IonbookError(
    "too-few-levels",
    `All additions are ${points[0].added}: a line needs two different ones`,
  );
}

function checkAddition(point: StandardAddition, i: number): void {
  const { added, response } = point ?? {};
  if (!Number.isFinite(added) || !Number.isFinite(response)) {
    throw new IonbookError(
      "not-a-number",
      `Addition ${i + 1} is ${added} with response ${response}: both must be numbers`,
    );
  }
  if (added < 0) {
    throw new IonbookError(
      "negative-concentration",
      `Addition ${i + 1} is ${added}: additions are not negative`,
    );
  }
}

const SERIAL = Symbol.for("ionbook.calibration.addition");

function nextAddition(): string {
  const shared = globalThis as { [SERIAL]?: number };
  shared[SERIAL] = (shared[SERIAL] ?? 0) + 1;
  return `standard addition ${shared[SERIAL]}`;
}

import { IonbookError } from "../errors.js";
import { fromSources, type MeasuredValue } from "../uncertainty/measured.js";
import { weightedFit } from "./weighted-fit.js";

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
 * @param options unit, default "mg/L"; source, the name of the result's source, default one of its own
 * @throws IonbookError "too-few-points", "not-a-number", "negative-concentration", "falling-line",
 *   "dependent-columns"
 * @source J. N. Miller and J. C. Miller, Statistics and Chemometrics for Analytical Chemistry, ch. 5
 */
export function standardAddition(
  points: readonly StandardAddition[],
  options: { readonly unit?: string; readonly source?: string } = {},
): MeasuredValue {
  if (!Array.isArray(points)) {
    throw new IonbookError(
      "too-few-points",
      "Standard addition needs a list of additions: standardAddition([{ added: 0, response: 0.4 }, …])",
    );
  }
  const n = points.length;
  if (n < 3) {
    throw new IonbookError(
      "too-few-points",
      `Standard addition needs at least three points, there are ${n}: inject the sample as it is and with two or more additions`,
    );
  }
  points.forEach(checkAddition);
  const x = Float64Array.from(points, (point) => point.added);
  const y = Float64Array.from(points, (point) => point.response);
  const ones = new Float64Array(n).fill(1);
  const { coefficients, sumOfSquares } = weightedFit([ones, x], y, ones);
  const [b0, b1] = coefficients;
  if (!(b1 > 0)) {
    throw new IonbookError(
      "falling-line",
      `The response does not rise with the addition (slope ${b1}): look for swapped vials`,
    );
  }
  const meanX = x.reduce((sum, value) => sum + value, 0) / n;
  const meanY = y.reduce((sum, value) => sum + value, 0) / n;
  const spread = x.reduce((sum, value) => sum + (value - meanX) ** 2, 0);
  const s = Math.sqrt(sumOfSquares / (n - 2));
  const u = (s / b1) * Math.sqrt(1 / n + meanY ** 2 / (b1 * b1 * spread));
  const source = options.source ?? nextAddition();
  return fromSources(b0 / b1, options.unit ?? "mg/L", [{ source, contribution: u, u, dof: n - 2 }]);
}

function checkAddition({ added, response }: StandardAddition, i: number): void {
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

import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { fromKnownSources, NORMAL, requireName, type Source } from "../../uncertainty/known-sources.js";
import { combineLinear, isMeasuredValue, type MeasuredValue } from "../../uncertainty/measured.js";
import type { ResponseModel } from "../response/response-models.js";
import type { ConcentrationOptions } from "../response/types.js";
import { readingGrowth } from "./reading-growth.js";
import type { CoefficientShift } from "./standard-sources.js";

/** What inverse prediction needs of a curve. */
export interface CurveParts {
  readonly name: string;
  /** The curve's own sources: "name (1)", "name (2)", … */
  readonly ownSources: () => readonly Source[];
  readonly unit: string;
  readonly model: ResponseModel;
  /** Free coefficients. */
  readonly coefficients: Float64Array;
  /** Lower triangle L of Cov(b) = L·Lᵀ, row-major. */
  readonly factor: Float64Array;
  /** Degrees of freedom of Cov(b) and of the reading's own variance. */
  readonly dof: number;
  readonly shifts: readonly CoefficientShift[];
  /** Variance of one reading at a concentration. */
  readingVariance(concentration: number): number;
  /** Degrees of freedom of that variance. */
  readingDof(concentration: number): number;
  /** Whether that variance says how scatter grows, stated or from replicates: then it counts to second order. */
  readonly scatterKnown: boolean;
  /** Highest standard. */
  readonly highest: number;
}

/** The highest standard itself scatters; a tenth above it is no extrapolation yet (common practice, no source). */
const MARGIN = 1.1;
const KNOWN_OPTIONS = { u: true, source: true, beyondRange: true } as const;

/**
 * Concentration of a reading (or of the mean of m replicates) with everything it depends on:
 *
 *     x₀ = f⁻¹(y₀),   u²(x₀) = J·Cov(b)·Jᵀ + (dx/dy)²·u²(y₀) + Σₛ (J·∂b/∂s)²
 *
 * J = ∂x₀/∂b; u²(y₀) = s_w²/(w₀·m), or what the reading itself brings; s the named sources of the standards, one
 * standard uncertainty each. For a straight line with w₀ at x₀ this is
 * (s_w²/b₁²)[1/(w₀m) + 1/Σw + (y₀ − ȳ_w)²/(b₁²S_w)]. Cov(b) enters as independent sources "name (1)", "name (2)", …
 * along the columns of its Cholesky factor, the same for all results of the curve, so that these stay correlated.
 *
 * Linear curves give negative concentrations for readings below their intercept. A value more than a tenth above the highest
 * standard, and above it beyond its own uncertainty, is refused unless asked for.
 *
 * Where the scatter of readings is stated or fitted to replicates, u(y₀) carries what its own growth adds (`readingGrowth`).
 * First order otherwise. The second-order term of a line moves x₀ by x₀·u_r² (u_r relative standard uncertainty of the slope) and
 * widens it by the same part: a hundredth of u at u_r = 1 %, a ninth of it where g reaches 0.05 (u_r = 11 %); from there on
 * `interval` takes Fieller's limits, which leave nothing out (`fiellerInterval`). O(p² + sources).
 *
 * @throws IonbookError "beyond-range", "no-inverse", "not-a-number", "no-readings", "negative-uncertainty",
 *   "unknown-option", "bad-option"
 * @source D. L. Massart et al., Handbook of Chemometrics and Qualimetrics A (1997),
 *   ch. 8, eq. for s(x₀)
 */
export function predictConcentration(
  curve: CurveParts,
  response: number | readonly number[] | MeasuredValue,
  options: ConcentrationOptions = {},
): MeasuredValue {
  requireKnownOptions(options, KNOWN_OPTIONS, "concentration");
  const { beyondRange = "refuse" } = options;
  if (beyondRange !== "refuse" && beyondRange !== "allow") {
    throw new IonbookError("bad-option", `beyondRange is ${String(beyondRange)}: give "refuse" or "allow"`);
  }
  const found = readOff(curve, response, options);
  if (
    beyondRange === "refuse" &&
    found.value > MARGIN * curve.highest &&
    found.interval().low > curve.highest
  ) {
    throw new IonbookError(
      "beyond-range",
      `${found.value.toPrecision(4)} ${curve.unit} lies above the highest standard of ${curve.highest} ${curve.unit}: ` +
        'dilute the sample into the range, or ask for the value with { beyondRange: "allow" }',
    );
  }
  return found;
}

function readOff(
  curve: CurveParts,
  response: number | readonly number[] | MeasuredValue,
  options: ConcentrationOptions,
): MeasuredValue {
  const reading = isMeasuredValue(response) ? response : undefined;
  const y = reading ? reading.value : meanOf(response as number | readonly number[]);
  const { concentration, perResponse, perCoefficient } = curve.model.invert(curve.coefficients, y);
  if (reading && options.u === undefined) {
    const { sources, contributions } = curveSources(curve, perCoefficient, undefined);
    const curveOnly = fromKnownSources(concentration - perResponse * y, curve.unit, sources, contributions);
    const terms = [
      { value: curveOnly, factor: 1 },
      { value: reading, factor: perResponse },
    ];
    return combineLinear(terms, curve.unit);
  }
  const count = Array.isArray(response) ? response.length : 1;
  const own = readingSource(curve, y, concentration, count, options);
  const { sources, contributions } = curveSources(curve, perCoefficient, own);
  contributions[sources.length - 1] = perResponse * own.u;
  return fromKnownSources(concentration, curve.unit, sources, contributions);
}

/** The sources of the curve, and one more that is left to the caller. */
function curveSources(
  { ownSources, factor, shifts }: CurveParts,
  perCoefficient: readonly number[],
  last: Source | undefined,
): { readonly sources: readonly Source[]; readonly contributions: Float64Array } {
  const p = perCoefficient.length;
  const sources = ownSources().slice();
  const contributions = new Float64Array(p + shifts.length + (last ? 1 : 0));
  for (let k = 0; k < p; k++) {
    for (let j = k; j < p; j++) contributions[k] += perCoefficient[j] * factor[j * p + k];
  }
  for (const { source, shift, dof } of shifts) {
    const at = sources.length;
    for (let j = 0; j < p; j++) contributions[at] += perCoefficient[j] * shift[j];
    sources.push(plainSource(source, Math.abs(contributions[at]), dof));
  }
  if (last) sources.push(last);
  return { sources, contributions };
}

function plainSource(key: string, u: number, dof: number, group?: string): Source {
  return { key, label: key, u, dof, shape: NORMAL, group };
}

function readingSource(
  curve: CurveParts,
  y: number,
  concentration: number,
  count: number,
  options: ConcentrationOptions,
): Source {
  const source = options.source ?? nextReading(curve.name);
  requireName(source);
  if (options.u !== undefined) {
    if (!(options.u >= 0 && options.u < Infinity)) {
      throw new IonbookError(
        "negative-uncertainty",
        `The reading's standard uncertainty is ${options.u}: give a number not below zero, or leave it out`,
      );
    }
    return plainSource(source, options.u, Number.POSITIVE_INFINITY);
  }
  const first = Math.sqrt(curve.readingVariance(concentration) / count);
  const u = curve.scatterKnown ? first * growthOf(curve, y, count) : first;
  // The reading's variance comes out of the same residuals as the curve's, hence the one group.
  return plainSource(source, u, curve.readingDof(concentration), curve.name);
}

function growthOf({ model, coefficients, readingVariance }: CurveParts, y: number, count: number): number {
  return readingGrowth(model, coefficients, y, (response) =>
    Math.sqrt(readingVariance(model.find(coefficients, response)) / count),
  );
}

function meanOf(response: number | readonly number[]): number {
  if (typeof response === "number" && Number.isFinite(response)) return response;
  const readings = typeof response === "number" ? [response] : response;
  if (readings.length === 0) {
    throw new IonbookError(
      "no-readings",
      "No readings to turn into a concentration: give at least one response",
    );
  }
  let sum = 0;
  for (const reading of readings) sum += reading;
  const mean = sum / readings.length;
  if (!Number.isFinite(mean)) {
    throw new IonbookError("not-a-number", `The response ${String(response)} is not a number: leave it out`);
  }
  return mean;
}

const SERIAL = Symbol.for("ionbook.calibration.reading");

/** A name for a reading that has none, different for every reading of the process. */
function nextReading(curve: string): string {
  const shared = globalThis as { [SERIAL]?: number };
  shared[SERIAL] = (shared[SERIAL] ?? 0) + 1;
  return `reading ${shared[SERIAL]} on ${curve}`;
}

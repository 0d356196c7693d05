import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import type { ResponseFit } from "../response/fit-response.js";
import { newDesign, rememberedDesign } from "../response/remembered-designs.js";
import type { ResponseModel } from "../response/response-models.js";
import type {
  BackCalculated,
  Calibration,
  CalibrationModel,
  CalibrationWarning,
  ClassicalErrors,
  ConcentrationInterval,
  ConcentrationOptions,
  CovarianceBasis,
  LackOfFit,
  LargestErrors,
  MandelTest,
  RejectedReading,
  StandardReading,
  VarianceFunction,
} from "../response/types.js";
import { lackOfFit } from "../tests-of-fit/lack-of-fit.js";
import { mandelTest } from "../tests-of-fit/mandel.js";
import type { ExpectedScatter } from "../weights/expected-scatter.js";
import {
  backCalculated,
  foundConcentrations,
  largestErrors,
  relativeStandardError,
} from "./back-calculated.js";
import type { CoefficientCovariance } from "./coefficient-covariance.js";
import { curveText } from "./curve-text.js";
import { fiellerInterval } from "./fieller.js";
import { type CurveParts, predictConcentration } from "./inverse-prediction.js";
import { readRejected } from "./rejected-readings.js";
import type { CoefficientShift } from "./standard-sources.js";
import { calibrationWarnings } from "./warnings.js";

/** From here on Fieller's interval is the fair one (common practice, no source). */
const FIELLER_FROM = 0.05;

/** The fit behind a curve. */
export interface FittedStandards {
  readonly ion: string | undefined;
  readonly modelName: CalibrationModel;
  readonly weighting: string;
  readonly points: readonly StandardReading[];
  readonly rejected: readonly StandardReading[];
  readonly reason: string | undefined;
  readonly varianceFunction: VarianceFunction | undefined;
  /** What replicates let one expect of a reading, where the weights are fitted to them. */
  readonly expected: (() => ExpectedScatter) | undefined;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly weights: Float64Array;
  /** Lowest and highest of x. */
  readonly range: readonly [low: number, high: number];
  readonly fit: ResponseFit;
  readonly dof: number;
  readonly classical: CoefficientCovariance;
  readonly used: CoefficientCovariance;
}

/** What `calibrate` returns. */
export class ResponseCurve implements Calibration {
  readonly kind = "calibration";
  readonly ion: string | undefined;
  readonly unit: string;
  readonly model: CalibrationModel;
  readonly weighting: string;
  readonly name: string;
  readonly points: readonly StandardReading[];
  readonly rejected: readonly RejectedReading[];
  readonly reason: string | undefined;
  readonly varianceFunction: VarianceFunction | undefined;
  readonly coefficients: readonly number[];
  readonly covarianceBasis: CovarianceBasis;
  readonly residualStandardDeviation: number;
  readonly dof: number;
  readonly rSquared: number;
  readonly range: readonly [low: number, high: number];
  readonly relativeStandardErrorPercent: number;
  readonly #parts: CurveParts;
  readonly #standards: FittedStandards;
  readonly #found: Float64Array;
  #warnings: readonly CalibrationWarning[] | undefined;
  #covariance: readonly (readonly number[])[] | undefined;
  #classical: ClassicalErrors | undefined;

  constructor(parts: CurveParts, standards: FittedStandards) {
    const { fit, dof, used } = standards;
    this.#parts = parts;
    this.#standards = standards;
    this.ion = standards.ion;
    this.unit = parts.unit;
    this.model = standards.modelName;
    this.weighting = standards.weighting;
    this.name = parts.name;
    this.points = standards.points;
    this.rejected = readRejected(standards.rejected, parts.model, parts.coefficients);
    this.reason = standards.reason;
    this.varianceFunction = standards.varianceFunction;
    this.coefficients = spread(fit.coefficients, coefficientPlaces(this.model, parts.model));
    this.covarianceBasis = used.basis;
    this.residualStandardDeviation = Math.sqrt(fit.sumOfSquares / dof);
    this.dof = dof;
    this.rSquared = rSquaredOf(standards, parts.model);
    this.range = standards.range;
    this.#found = foundConcentrations(parts.model, parts.coefficients, standards.y);
    this.relativeStandardErrorPercent = relativeStandardError(standards.x, this.#found, dof);
  }

  // Matrices and warnings are worked out on first use: most curves of a batch are never looked at.
  get covariance(): readonly (readonly number[])[] {
    this.#covariance ??= this.#spread(this.#standards.used.covariance);
    return this.#covariance;
  }

  get standardErrors(): readonly number[] {
    return this.covariance.map((row, k) => Math.sqrt(row[k]));
  }

  get covarianceWithStandards(): readonly (readonly number[])[] {
    return this.#spread(withShifts(this.#standards.used.covariance, this.#parts.shifts));
  }

  get classical(): ClassicalErrors {
    this.#classical ??= this.#classicalErrors();
    return this.#classical;
  }

  #classicalErrors(): ClassicalErrors {
    const covariance = this.#spread(this.#standards.classical.covariance);
    return {
      standardErrors: covariance.map((row, k) => Math.sqrt(row[k])),
      covariance,
      residualStandardDeviation: this.residualStandardDeviation,
      dof: this.dof,
    };
  }

  #spread(free: Float64Array): readonly (readonly number[])[] {
    return spreadMatrix(free, coefficientPlaces(this.model, this.#parts.model));
  }

  because(reason: string): ResponseCurve {
    return new ResponseCurve(this.#parts, { ...this.#standards, reason });
  }

  respond(concentration: number): number {
    return this.#parts.model.respond(this.#parts.coefficients, concentration);
  }

  readingVariance(concentration: number): number {
    return this.#parts.readingVariance(concentration);
  }

  concentration(
    response: number | readonly number[] | MeasuredValue,
    options?: ConcentrationOptions,
  ): MeasuredValue {
    return predictConcentration(this.#parts, response, options);
  }

  get warnings(): readonly CalibrationWarning[] {
    this.#warnings ??= calibrationWarnings({
      ion: this.ion,
      unit: this.unit,
      model: this.model,
      used: this.points,
      rejected: this.#standards.rejected,
      coefficients: this.coefficients,
      standardErrors: this.standardErrors,
      dof: this.covarianceBasis.dof,
      ends: this.range.map((x) => this.respond(x)),
      expected: this.#standards.expected?.(),
    });
    return this.#warnings;
  }

  interval(
    response: number | readonly number[] | MeasuredValue,
    options: { readonly u?: number; readonly level?: number; readonly beyondRange?: "refuse" | "allow" } = {},
  ): ConcentrationInterval {
    requireKnownOptions(options, { u: true, level: true, beyondRange: true }, "interval");
    const { level = 0.95, ...how } = options;
    const found = this.concentration(response, how);
    const { low, high } = found.interval(level);
    const plain = { low, high, level, g: undefined, method: "value ± k·u" } as const;
    if (this.model !== "linear" && this.model !== "through-zero") return plain;
    const exact = fiellerInterval(this, response, { level, ...(how.u === undefined ? {} : { u: how.u }) });
    return exact.g > FIELLER_FROM ? { ...exact, method: "Fieller" } : { ...plain, g: exact.g };
  }

  backCalculated(): readonly BackCalculated[] {
    return backCalculated(this.#standards.x, this.#found);
  }

  largestErrors(): LargestErrors {
    return largestErrors(this.#standards.x, this.#found);
  }

  lackOfFit(): LackOfFit | undefined {
    const { points, fit, weights, dof } = this.#standards;
    return lackOfFit(points, fit.residuals, weights, points.length - dof);
  }

  mandel(): MandelTest {
    const { x, y, weights, fit } = this.#standards;
    const line = this.model === "linear" ? fit : undefined;
    const designOf = this.varianceFunction ? newDesign : rememberedDesign;
    return mandelTest(x, y, weights, { line, designOf });
  }

  toString(): string {
    return curveText(this);
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}

/** The same calibration, with why it was chosen. */
export function explained(calibration: Calibration, reason: string): Calibration {
  return calibration instanceof ResponseCurve ? calibration.because(reason) : calibration;
}

/** Where the free coefficients stand among the reported ones; through zero, b₀ is 0 and known. */
function coefficientPlaces(name: CalibrationModel, model: ResponseModel): readonly number[] {
  if (name === "physical") return [0];
  return name === "weak" ? [0, 1] : model.powers;
}

function spread(free: Float64Array, place: readonly number[]): number[] {
  const all = new Array<number>(place[place.length - 1] + 1).fill(0);
  place.forEach((at, k) => {
    all[at] = free[k];
  });
  return all;
}

function spreadMatrix(free: Float64Array, place: readonly number[]): number[][] {
  const size = place[place.length - 1] + 1;
  const all = Array.from({ length: size }, () => new Array<number>(size).fill(0));
  place.forEach((row, j) => {
    place.forEach((column, k) => {
      all[row][column] = free[j * place.length + k];
    });
  });
  return all;
}

function withShifts(covariance: Float64Array, shifts: readonly CoefficientShift[]): Float64Array {
  const total = covariance.slice();
  for (const { shift } of shifts) {
    const p = shift.length;
    for (let j = 0; j < p; j++) for (let k = 0; k < p; k++) total[j * p + k] += shift[j] * shift[k];
  }
  return total;
}

/** 1 − Q/Σw(t − t̄)²; t̄ the weighted mean of the fitted quantity, 0 for curves without an intercept. */
function rSquaredOf({ x, y, weights, fit }: FittedStandards, model: ResponseModel): number {
  const target = model.fits === "response" ? y : x;
  let sum = 0;
  let total = 0;
  for (let i = 0; i < target.length; i++) {
    total += weights[i];
    sum += weights[i] * target[i];
  }
  const mean = model.powers[0] === 0 ? sum / total : 0;
  let about = 0;
  for (let i = 0; i < target.length; i++) about += weights[i] * (target[i] - mean) ** 2;
  return 1 - fit.sumOfSquares / about;
}

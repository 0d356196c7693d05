import { IonbookError } from "../../errors.js";
import { levelsOf } from "../response/levels.js";
import type { CalibrateOptions, GivenDeviations, StandardReading } from "../response/types.js";

/** A weighting made ready for a fit. */
export interface ResolvedWeighting {
  /** "none", "1/x", "1/x^2" or "given". */
  readonly label: string;
  /** The weights of the points when their concentrations are `x`. */
  weightsAt(x: Float64Array): Float64Array;
  /** How a weight changes with its point's concentration, dw/dx. */
  weightSlope(x: number, weight: number): number;
  /** 1/w₀ of one reading at concentration x: its variance up to the factor s_w². */
  relativeVariance(x: number): number;
}

/**
 * Weights by name or by value.
 *
 * Named weights are w = 1, 1/x, 1/x². A reading below the lowest level has the weight of the lowest level: noise
 * does not vanish with the concentration. Given weights are inverse variances; between levels a reading's 1/w is
 * interpolated linearly in concentration, beyond them it is that of the nearest level.
 *
 * @throws IonbookError "unknown-weighting", "zero-level", "weights-mismatch", "bad-weight"
 */
export function resolveWeighting(
  points: readonly StandardReading[],
  weighting: Exclude<CalibrateOptions["weighting"], "variance-function" | GivenDeviations> = "none",
  unit = "mg/L",
): ResolvedWeighting {
  if (Array.isArray(weighting)) return givenWeights(points, weighting);
  if (weighting === "none" || weighting === "1/x" || weighting === "1/x^2")
    return named(weighting, points, unit);
  throw new IonbookError(
    "unknown-weighting",
    `No weighting "${String(weighting)}": choose "none", "1/x", "1/x^2", "variance-function", or give one inverse variance per point`,
  );
}

type WeightName = "none" | "1/x" | "1/x^2";

/** What does not depend on the standards of a weighting by name. */
const NAMED: Readonly<Record<WeightName, Omit<ResolvedWeighting, "relativeVariance">>> = {
  none: namedWeights("none", () => 1, 0),
  "1/x": namedWeights("1/x", (x) => 1 / x, 1),
  "1/x^2": namedWeights("1/x^2", (x) => 1 / (x * x), 2),
};

function namedWeights(label: WeightName, weight: (x: number) => number, power: number) {
  let last: { readonly x: Float64Array; readonly weights: Float64Array } | undefined;
  return {
    label,
    /** One array for the same standards, never to be written. */
    weightsAt(x: Float64Array) {
      if (last?.x !== x) last = { x, weights: x.map(weight) };
      return last.weights;
    },
    weightSlope: (x: number, own: number) => (power === 0 ? 0 : (-power * own) / x),
  };
}

function named(label: WeightName, points: readonly StandardReading[], unit: string): ResolvedWeighting {
  if (label !== "none") refuseZeroLevel(label, points, unit);
  let lowest = Number.POSITIVE_INFINITY;
  for (const { concentration } of points) lowest = Math.min(lowest, concentration);
  const { weightsAt, weightSlope } = NAMED[label];
  return { label, weightsAt, weightSlope, relativeVariance: relativeVarianceOf(label, lowest) };
}

function relativeVarianceOf(label: WeightName, lowest: number): (x: number) => number {
  if (label === "none") return () => 1;
  if (label === "1/x") return (x) => Math.max(x, lowest);
  return (x) => Math.max(x, lowest) ** 2;
}

function refuseZeroLevel(label: string, points: readonly StandardReading[], unit: string): void {
  const index = points.findIndex((point) => point.concentration === 0);
  if (index < 0) return;
  const what = points[index].label ?? `point ${index + 1}`;
  throw new IonbookError(
    "zero-level",
    `weighting "${label}" needs every level above zero: ${what} is 0 ${unit}. ` +
      'Leave it out or choose weighting "none".',
  );
}

function givenWeights(points: readonly StandardReading[], given: readonly number[]): ResolvedWeighting {
  if (given.length !== points.length) {
    throw new IonbookError(
      "weights-mismatch",
      `${given.length} weights for ${points.length} points: give one inverse variance per point`,
    );
  }
  const bad = given.findIndex((weight) => !(weight > 0 && weight < Infinity));
  if (bad >= 0) {
    throw new IonbookError(
      "bad-weight",
      `The weight of point ${bad + 1} is ${given[bad]}: an inverse variance is a number above zero. ` +
        "Leave the point out instead of giving it no weight",
    );
  }
  const weights = Float64Array.from(given);
  const variances = given.map((weight) => 1 / weight);
  return {
    label: "given",
    weightsAt: () => weights,
    weightSlope: () => 0,
    relativeVariance: interpolateOverLevels(points, variances),
  };
}

/** A quantity known at each point, as a function of concentration: level means, linear between, level ends beyond. */
export function interpolateOverLevels(
  points: readonly StandardReading[],
  values: readonly number[],
): (x: number) => number {
  const levels = levelsOf(points);
  const at = levels.map((level) => level.concentration);
  const mean = levels.map(
    (level) => level.members.reduce((sum, i) => sum + values[i], 0) / level.members.length,
  );
  return (x) => {
    const above = at.findIndex((level) => level > x);
    if (above < 0) return mean[mean.length - 1];
    if (above === 0) return mean[0];
    const part = (x - at[above - 1]) / (at[above] - at[above - 1]);
    return mean[above - 1] + part * (mean[above] - mean[above - 1]);
  };
}

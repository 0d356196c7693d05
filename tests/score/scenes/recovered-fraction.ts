import { median } from "../../../toolkit/numeric/robust.js";

/** Found area over true one, as the standards of an ion tell it. */
export interface RecoveredFraction {
  readonly fraction: number;
  readonly u: number;
}

/** One standard's peak. */
export interface Reading {
  readonly found: number;
  readonly u: number;
  readonly truth: number;
}

/** No standard is believed better than this, relative: levels differ in overload by as much. */
const LEAST_U = 5e-4;
/** From so many readings on their scatter alone tells the standard error. */
const MANY = 6;

/**
 * The share of an ion's true area that the chain finds, from its standards: their mean weighted by 1/(u² + floor²),
 * with its standard error from the scatter, or from the u where they are few and that is larger. A calibration with the
 * same chain divides by it; so do the scores.
 */
export function recoveredFraction(readings: readonly Reading[]): RecoveredFraction | undefined {
  if (readings.length < 2) return undefined;
  const ratios = readings.map(({ found, truth, u }) => ({
    ratio: found / truth,
    weight: 1 / ((u / truth) ** 2 + LEAST_U ** 2),
  }));
  const sum = ratios.reduce((s, { weight }) => s + weight, 0);
  const fraction = ratios.reduce((s, { ratio, weight }) => s + weight * ratio, 0) / sum;
  const scatter = ratios.reduce((s, { ratio, weight }) => s + weight * (ratio - fraction) ** 2, 0);
  const perReading = scatter / (ratios.length - 1);
  return { fraction, u: Math.sqrt((ratios.length < MANY ? Math.max(1, perReading) : perReading) / sum) };
}

/** The usual fraction of a scene, for a substance without standards. */
export function usualFraction(all: readonly RecoveredFraction[]): RecoveredFraction {
  if (all.length === 0) return { fraction: 1, u: 0 };
  const fraction = median(all.map((one) => one.fraction));
  const spread = 1.4826 * median(all.map((one) => Math.abs(one.fraction - fraction)));
  return { fraction, u: Math.max(spread, LEAST_U) };
}

import type { Random } from "../../../toolkit/numeric/random.js";

/** The small size is for every run of the tests, the full one for the score. */
export type RowSize = "small" | "full";

export const SEEDS = [1, 2, 3] as const;

/** A number between two others, evenly. */
export function drawBetween(random: Random, low: number, high: number): number {
  return low + (high - low) * random.uniform();
}

export function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}

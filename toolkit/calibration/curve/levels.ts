import type { StandardReading } from "./types.js";

/** All readings of one concentration. */
export interface Level {
  readonly concentration: number;
  /** Indices into the points, in their order. */
  readonly members: readonly number[];
}

/** Concentrations closer than this, relative to the larger, are one level: 0.1·3 and 0.3 are the same flask. */
const SAME_LEVEL = 1e-9;

/** The levels of a set of standards, from the lowest up. */
export function levelsOf(points: readonly StandardReading[]): readonly Level[] {
  const order = points.map((_, i) => i).sort((a, b) => points[a].concentration - points[b].concentration);
  const levels: { concentration: number; members: number[] }[] = [];
  for (const i of order) {
    const { concentration } = points[i];
    const last = levels[levels.length - 1];
    if (last && concentration - last.concentration <= SAME_LEVEL * concentration) last.members.push(i);
    else levels.push({ concentration, members: [i] });
  }
  for (const level of levels) level.members.sort((a, b) => a - b);
  return levels;
}

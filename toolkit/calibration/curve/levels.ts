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
  const order = inOrder(points);
  const levels: { concentration: number; members: number[] }[] = [];
  let last: { concentration: number; members: number[] } | undefined;
  for (let k = 0; k < points.length; k++) {
    const i = order ? order[k] : k;
    const { concentration } = points[i];
    if (last && concentration - last.concentration <= SAME_LEVEL * concentration) last.members.push(i);
    else {
      last = { concentration, members: [i] };
      levels.push(last);
    }
  }
  if (order) for (const level of levels) level.members.sort((a, b) => a - b);
  return levels;
}

/** The points' indices from the lowest concentration up; undefined where they stand so already. */
function inOrder(points: readonly StandardReading[]): readonly number[] | undefined {
  for (let i = 1; i < points.length; i++) {
    if (points[i].concentration >= points[i - 1].concentration) continue;
    return points.map((_, at) => at).sort((a, b) => points[a].concentration - points[b].concentration);
  }
  return undefined;
}

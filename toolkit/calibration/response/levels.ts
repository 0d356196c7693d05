import type { StandardReading } from "./types.js";

/** All readings of one concentration. */
export interface Level {
  readonly concentration: number;
  /** Indices into the points, in their order. */
  readonly members: readonly number[];
}

/** Concentrations closer than this, relative to the larger, are one level: 0.1·3 and 0.3 are the same flask. */
const SAME_LEVEL = 1e-9;

/** As many lists of concentrations as a day of several mixed standards has; the oldest goes first. */
const KEPT = 8;

interface Remembered {
  readonly concentrations: Float64Array;
  readonly levels: readonly Level[];
}

const kept: Remembered[] = [];

/**
 * The levels of a set of standards, from the lowest up. Found once for the same concentrations: all ions of a mixed
 * standard share them, and every test of fit asks again.
 */
export function levelsOf(points: readonly StandardReading[]): readonly Level[] {
  return remembered(points).levels;
}

/** The concentrations of the points: one array for all that have the same, never to be written. */
export function concentrationsOf(points: readonly StandardReading[]): Float64Array {
  return remembered(points).concentrations;
}

function remembered(points: readonly StandardReading[]): Remembered {
  for (let k = 0; k < kept.length; k++) if (same(kept[k].concentrations, points)) return kept[k];
  const concentrations = Float64Array.from(points, (point) => point.concentration);
  kept.unshift({ concentrations, levels: sorted(points) });
  if (kept.length > KEPT) kept.pop();
  return kept[0];
}

function same(concentrations: Float64Array, points: readonly StandardReading[]): boolean {
  if (concentrations.length !== points.length) return false;
  for (let i = 0; i < concentrations.length; i++) {
    if (concentrations[i] !== points[i].concentration) return false;
  }
  return true;
}

function sorted(points: readonly StandardReading[]): readonly Level[] {
  const order = inOrder(points);
  const levels: Level[] = [];
  for (let from = 0; from < points.length; ) {
    const to = endOfLevel(points, order, from);
    const members: number[] = [];
    for (let k = from; k < to; k++) members.push(order ? order[k] : k);
    const { concentration } = points[members[0]];
    if (order) members.sort((a, b) => a - b);
    levels.push({ concentration, members });
    from = to;
  }
  return levels;
}

/** How many there are, or how many above zero. */
export function levelCount(points: readonly StandardReading[], aboveZero: boolean): number {
  const levels = levelsOf(points);
  const atZero = levels.length > 0 && !(levels[0].concentration > 0);
  return aboveZero && atZero ? levels.length - 1 : levels.length;
}

/** Where the level that begins at a place of the order ends. */
function endOfLevel(
  points: readonly StandardReading[],
  order: readonly number[] | undefined,
  from: number,
): number {
  const lowest = points[order ? order[from] : from].concentration;
  let to = from + 1;
  for (; to < points.length; to++) {
    const { concentration } = points[order ? order[to] : to];
    if (!(concentration - lowest <= SAME_LEVEL * concentration)) break;
  }
  return to;
}

/** The points' indices from the lowest concentration up; undefined where they stand so already. */
function inOrder(points: readonly StandardReading[]): readonly number[] | undefined {
  for (let i = 1; i < points.length; i++) {
    if (points[i].concentration >= points[i - 1].concentration) continue;
    return points.map((_, at) => at).sort((a, b) => points[a].concentration - points[b].concentration);
  }
  return undefined;
}

import { textWidth } from "../trace/label-places.js";

/** A rectangle of the picture, px; y grows downwards. */
export interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly foot: number;
}

/** A point that would like its name beside it, px; y grows downwards. */
export interface NamedDot {
  readonly name: string;
  readonly x: number;
  readonly y: number;
}

/** Where a name goes. */
export interface NamePlace {
  readonly name: string;
  /** Its near edge, or its middle where it stands above or below; px. */
  readonly x: number;
  readonly y: number;
  readonly align: "left" | "right" | "center";
  /** The point itself where the name stands so far away that a line must lead to it. */
  readonly leader: { readonly x: number; readonly y: number } | undefined;
}

export interface NamesAroundOptions {
  readonly fontSize: number;
  /** Half the size of a symbol, px. */
  readonly radius: number;
  /** The names must stay within. */
  readonly width: number;
  readonly height: number;
  /** Farthest distance of a name from its point, px. */
  readonly farthest?: number;
  /** What no name may lie on. */
  readonly taken?: readonly Box[];
  /** What a name rather does not lie on: another side of the point is tried first. */
  readonly avoided?: readonly Box[];
}

const DIRECTIONS: readonly (readonly [dx: number, dy: number])[] = [
  [1, 0],
  [-1, 0],
  [0.8, -0.7],
  [0.8, 0.7],
  [-0.8, -0.7],
  [-0.8, 0.7],
  [0, -1],
  [0, 1],
];
/** Beyond this distance from a symbol a name needs a line. */
const NEAR = 9;

/**
 * Places for the names of points so that no name lies on another or on a symbol: points with much room around them
 * choose first, each the nearest free place in eight directions. A name without a free place is left out.
 */
export function namesAround(dots: readonly NamedDot[], options: NamesAroundOptions): readonly NamePlace[] {
  const { radius } = options;
  const symbols = dots.map((dot) => around(dot.x, dot.y, radius));
  const taken: Box[] = [...(options.taken ?? []), ...symbols];
  const places: NamePlace[] = [];
  const leaders: Leader[] = [];
  for (const dot of byRoom(dots)) {
    const found = bestFree(dot, taken, leaders, options);
    if (found === undefined) continue;
    taken.push(found.box);
    places.push(found.place);
    if (found.place.leader !== undefined) leaders.push([dot, found.place]);
  }
  return places;
}

function around(x: number, y: number, half: number): Box {
  return { left: x - half, right: x + half, top: y - half, foot: y + half };
}

/** The points whose nearest neighbour is farthest first. */
function byRoom(dots: readonly NamedDot[]): readonly NamedDot[] {
  const room = roomAround(dots);
  return dots
    .map((dot, i) => ({ dot, room: room[i] }))
    .sort((a, b) => b.room - a.room)
    .map(({ dot }) => dot);
}

/** Distance of each point from its nearest neighbour. */
export function roomAround(dots: readonly { readonly x: number; readonly y: number }[]): readonly number[] {
  return dots.map((dot) =>
    Math.min(
      ...dots.map((other) =>
        other === dot ? Number.POSITIVE_INFINITY : Math.hypot(other.x - dot.x, other.y - dot.y),
      ),
    ),
  );
}

type Leader = readonly [NamedDot, NamePlace];
interface Candidate {
  readonly place: NamePlace;
  readonly box: Box;
}

function bestFree(
  dot: NamedDot,
  taken: readonly Box[],
  leaders: readonly Leader[],
  options: NamesAroundOptions,
): Candidate | undefined {
  const { avoided = [], farthest = 44 } = options;
  for (let gap = 3; gap <= farthest; gap += gap < NEAR ? 5 : 7) {
    const free = DIRECTIONS.map((direction) => candidate(dot, direction, gap, options)).filter(
      ({ box }) =>
        within(box, options) &&
        !taken.some((other) => overlap(box, other)) &&
        !leaders.some(([from, to]) => crosses(from, to, box)),
    );
    const clean = free.find(({ box }) => !avoided.some((other) => overlap(box, other)));
    if (clean !== undefined) return clean;
    if (free.length > 0) return free[0];
  }
  return undefined;
}

function candidate(
  dot: NamedDot,
  [dx, dy]: readonly [number, number],
  gap: number,
  { fontSize, radius }: NamesAroundOptions,
): Candidate {
  const long = textWidth(dot.name, fontSize);
  const x = dot.x + dx * (radius + gap);
  const y = dot.y + dy * (radius + gap) + (dx === 0 ? dy * (fontSize / 2 - 1) : 0);
  const align = dx === 0 ? "center" : dx > 0 ? "left" : "right";
  const left = align === "left" ? x : align === "right" ? x - long : x - long / 2;
  const box = { left: left - 1, right: left + long + 1, top: y - fontSize / 2, foot: y + fontSize / 2 };
  const leader = gap > NEAR ? { x: dot.x, y: dot.y } : undefined;
  return { place: { name: dot.name, x, y, align, leader }, box };
}

function within(box: Box, { width, height }: NamesAroundOptions): boolean {
  return box.left >= 0 && box.right <= width && box.top >= 0 && box.foot <= height;
}

function overlap(a: Box, b: Box): boolean {
  return a.left < b.right && a.right > b.left && a.top < b.foot && a.foot > b.top;
}

/** Whether a line passes through a box, tried at points along it. */
function crosses(from: { x: number; y: number }, to: { x: number; y: number }, box: Box): boolean {
  for (let step = 1; step < 12; step++) {
    const x = from.x + ((to.x - from.x) * step) / 12;
    const y = from.y + ((to.y - from.y) * step) / 12;
    if (x > box.left && x < box.right && y > box.top && y < box.foot) return true;
  }
  return false;
}

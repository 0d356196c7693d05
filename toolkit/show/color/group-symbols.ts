import { COLORS, type ColorName } from "./ion-colors.js";

/** How the members of one group are drawn: colour and shape differ, so that either alone is enough. */
export interface GroupSymbol {
  readonly color: string;
  readonly shape: string;
}

const HUES: readonly ColorName[] = [
  "blue",
  "vermilion",
  "green",
  "purple",
  "orange",
  "sky",
  "slate",
  "yellow",
];
const SHAPES = [
  "circle",
  "square",
  "triangle-up",
  "diamond",
  "triangle-down",
  "cross",
  "triangle-right",
  "triangle-left",
] as const;

/** As many symbols as can be told apart by shape alone. */
const DISTINCT_SYMBOLS = SHAPES.length;

/** The symbol of the group at `index`; after eight groups colours come again with other shapes. */
export function groupSymbol(index: number): GroupSymbol {
  const round = Math.floor(index / HUES.length);
  return {
    color: COLORS[HUES[index % HUES.length]].fill,
    shape: SHAPES[(index + round) % SHAPES.length],
  };
}

/** Symbols by name, in the order given. */
function groupSymbols(names: readonly string[]): ReadonlyMap<string, GroupSymbol> {
  return new Map(names.map((name, index) => [name, groupSymbol(index)]));
}

/** One symbol for each group; without groups one for each of a few waters, and one for all of many. */
export function symbolsFor(
  groups: readonly string[],
  members: readonly { readonly name: string }[],
): (member: { readonly name: string; readonly group: string }) => GroupSymbol {
  if (groups.length > 0) {
    const known = groupSymbols(groups);
    const none: GroupSymbol = { color: COLORS.unknown.fill, shape: "circle" };
    return ({ group }) => known.get(group) ?? none;
  }
  const own = groupSymbols(members.length <= DISTINCT_SYMBOLS ? members.map(({ name }) => name) : []);
  return ({ name }) => own.get(name) ?? groupSymbol(0);
}

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
export const DISTINCT_SYMBOLS = SHAPES.length;

/** The symbol of the group at `index`; after eight groups colours come again with other shapes. */
export function groupSymbol(index: number): GroupSymbol {
  const round = Math.floor(index / HUES.length);
  return {
    color: COLORS[HUES[index % HUES.length]].fill,
    shape: SHAPES[(index + round) % SHAPES.length],
  };
}

/** Symbols by name, in the order given. */
export function groupSymbols(names: readonly string[]): ReadonlyMap<string, GroupSymbol> {
  return new Map(names.map((name, index) => [name, groupSymbol(index)]));
}

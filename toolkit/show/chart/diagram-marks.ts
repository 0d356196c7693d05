import type { GroupSymbol } from "../color/group-symbols.js";
import { texts } from "./marks.js";
import { INK, type SpecPart } from "./spec.js";

/** One symbol of a diagram. */
export interface DiagramSymbol {
  readonly x: number;
  readonly y: number;
  readonly name: string;
  readonly symbol: GroupSymbol;
  /** At a bound: drawn open. */
  readonly open: boolean;
}

/** Symbols, filled or open, each with a narrow ring of ground around it. */
export function symbolLayer(
  symbols: readonly DiagramSymbol[],
  size: number,
  x: SpecPart,
  y: SpecPart,
): SpecPart {
  const values = symbols.map(({ symbol, open, ...at }) => ({
    ...at,
    shape: symbol.shape,
    fill: open ? INK.paper : symbol.color,
    stroke: open ? symbol.color : INK.paper,
    line: open ? 1.6 : 0.8,
  }));
  return {
    data: { values },
    mark: { type: "point", opacity: 1, size },
    encoding: {
      x,
      y,
      shape: { field: "shape", type: "nominal", scale: null },
      fill: { field: "fill", type: "nominal", scale: null },
      stroke: { field: "stroke", type: "nominal", scale: null },
      strokeWidth: { field: "line", type: "quantitative", scale: null },
      tooltip: [{ field: "name", title: "water" }],
    },
  };
}

/** Names on a narrow ground that lifts them off the lines behind. */
export function haloed(
  values: readonly object[],
  field: string,
  mark: SpecPart,
  encoding: SpecPart,
): readonly SpecPart[] {
  if (values.length === 0) return [];
  const ground = { ...mark, fill: INK.paper, stroke: INK.paper, strokeWidth: 3, strokeJoin: "round" };
  return [texts(values, field, ground, encoding), texts(values, field, mark, encoding)];
}

/** One row of a key. */
export interface KeyRow extends GroupSymbol {
  readonly x: number;
  readonly y: number;
  readonly text: string;
}

/** Symbols with what they stand for on their right. */
export function keyLayers(
  rows: readonly KeyRow[],
  limit: number,
  x: SpecPart,
  y: SpecPart,
): readonly SpecPart[] {
  if (rows.length === 0) return [];
  const symbols = rows.map(({ color, shape, text, ...at }) => ({
    ...at,
    name: text,
    symbol: { color, shape },
    open: false,
  }));
  const words = { align: "left", dx: 10, fontSize: 11, fill: INK.ink, limit };
  return [symbolLayer(symbols, 52, x, y), texts(rows, "text", words, { x, y })];
}

/** "spring (4)": a group with its number of waters. */
export function countedGroup(group: string, members: readonly { readonly group: string }[]): string {
  const count = members.filter((member) => member.group === group).length;
  return count > 1 ? `${group} (${count})` : group;
}

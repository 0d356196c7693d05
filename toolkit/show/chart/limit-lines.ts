import { textWidth } from "../trace/label-places.js";
import { texts } from "./marks.js";
import { INK, type SpecPart } from "./spec.js";

export interface PlottedLimit {
  readonly name: string;
  readonly concentration: number;
}

/** Names and reasons in a panel are set in this size. */
export const NAME_SIZE = 10;

/** Dotted lines over the whole panel. */
export function limitLines(limits: readonly PlottedLimit[], x: SpecPart): readonly SpecPart[] {
  return limits.map((limit) => limitLine(limit, x, 0));
}

function limitLine(limit: PlottedLimit, x: SpecPart, top: number): SpecPart {
  const mark = {
    type: "rule",
    color: INK.soft,
    strokeDash: [1.5, 2.5],
    strokeWidth: 1,
    y: top,
    y2: "height",
  };
  return { data: { values: [{ x: limit.concentration }] }, mark, encoding: { x } };
}

/**
 * Dotted lines with their names, from the smallest limit to the largest. Each line begins at the row of its name and so
 * crosses no other; a name stands left of its line, away from the curve, where the limit before leaves it the room.
 */
export function namedLimits(limits: readonly PlottedLimit[], x: SpecPart, place: Place): readonly SpecPart[] {
  return limits.flatMap((limit, index) => {
    const y = 8 + 13 * index;
    const before = index === 0 ? 0 : place(limits[index - 1].concentration);
    const left = place(limit.concentration) - before > textWidth(limit.name, NAME_SIZE) + 8;
    const side = left ? { align: "right", dx: -4 } : { align: "left", dx: 4 };
    const values = [{ x: limit.concentration, name: limit.name }];
    const mark = { ...side, fontSize: NAME_SIZE, fill: INK.soft, y };
    return [limitLine(limit, x, y - 5), texts(values, "name", mark, { x })];
  });
}

/** Pixels from the left edge of the panel. */
export type Place = (concentration: number) => number;

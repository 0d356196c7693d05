import { INK, type SpecPart } from "./spec.js";

/** Upright bars from `low` to `high` of each row: the uncertainty of a point. */
export function intervalBars(values: readonly object[], x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values },
    mark: { type: "rule", color: INK.ink, strokeWidth: 1, clip: true },
    encoding: { x, y: { ...y, field: "low" }, y2: { field: "high" } },
  };
}

/** A translucent band between `low` and `high` of each row. */
export function band(values: readonly object[], color: string, x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values },
    mark: { type: "area", color, opacity: 0.22, clip: true },
    encoding: { x, y: { ...y, field: "low" }, y2: { field: "high" } },
  };
}

/** The text in `field` of each row, placed by `encoding`. */
export function texts(
  values: readonly object[],
  field: string,
  mark: SpecPart,
  encoding: SpecPart,
): SpecPart {
  return {
    data: { values },
    mark: { type: "text", baseline: "middle", ...mark },
    encoding: { ...encoding, text: { field, type: "nominal" } },
  };
}

/** The same on a ground of their own, which keeps lines out of the words. */
export function groundedTexts(
  values: readonly object[],
  field: string,
  mark: SpecPart,
  encoding: SpecPart,
): readonly SpecPart[] {
  const ground = { ...mark, fill: INK.paper, stroke: INK.paper, strokeWidth: 8, strokeJoin: "round" };
  return [texts(values, field, ground, encoding), texts(values, field, mark, encoding)];
}

import type { SpecPart } from "./spec.js";

/** Encodings of a picture that is laid out by hand: px from the upper left corner, y downwards. */
export interface PixelPlane {
  readonly width: number;
  readonly height: number;
  readonly x: (field?: string) => SpecPart;
  readonly y: (field?: string) => SpecPart;
}

export function pixelPlane(width: number, height: number): PixelPlane {
  const axis =
    (name: string, domain: readonly [number, number], reverse: boolean) =>
    (field = name): SpecPart => ({
      field,
      type: "quantitative",
      scale: { domain, nice: false, zero: false, reverse },
      axis: null,
    });
  return { width, height, x: axis("x", [0, width], false), y: axis("y", [0, height], true) };
}

/** A straight line between two points of a plane. */
export interface Segment {
  readonly x: number;
  readonly y: number;
  readonly x2: number;
  readonly y2: number;
}

/** Straight lines; `mark` brings colour and width, or `color` of each line its own. */
export function segments(values: readonly Segment[], mark: SpecPart, x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values },
    mark: { type: "rule", ...mark },
    encoding: { x, y, x2: { field: "x2" }, y2: { field: "y2" } },
  };
}

import { FIELDS, type PlanePoint } from "../../water/diagrams/piper-coordinates.js";
import type { PiperDiagram } from "../../water/diagrams/piper-diagram.js";
import type { PiperPlace } from "../../water/diagrams/piper-place.js";
import type { GroupSymbol } from "../color/group-symbols.js";
import { haloed } from "./diagram-marks.js";
import { type Box, namesAround, roomAround } from "./names-around.js";
import { type FrameNames, frameBoxes, PLANE } from "./piper-frame.js";
import { INK, type SpecPart } from "./spec.js";

/** More names than this hide what a field shows: then the waters that stand apart keep theirs. */
const MOST_NAMES = 12;
/** Farther than this from its neighbours a symbol stands apart, px; among very many, farther still. */
const APART = 9;
const FAR_APART = 15;
const VERY_MANY = 24;
const FONT = 10.5;

/** Length of the arrow of a place at a bound, px. */
export const ARROW = 17;

/** One water in one field. */
export interface PiperDot extends PlanePoint {
  readonly name: string;
  readonly field: string;
  readonly place: PiperPlace;
  readonly symbol: GroupSymbol;
}

/** Where things stand: the plane's units to px. */
export interface PiperScale {
  readonly unit: number;
  readonly width: number;
  readonly height: number;
  readonly px: (point: PlanePoint) => PlanePoint;
  readonly x: (field?: string) => SpecPart;
  readonly y: (field?: string) => SpecPart;
}

/** Ions named along the sides as far as they were measured in one water at least. */
export function frameNames({ points }: PiperDiagram): FrameNames {
  const seen = (ion: string): boolean => points.some(({ absent }) => !absent.includes(ion));
  const list = (names: readonly (readonly [string, string])[]) =>
    names.filter(([ion], i) => i === 0 || seen(ion)).map(([, formula]) => formula);
  return {
    sodium: list([
      ["sodium", "Na⁺"],
      ["potassium", "K⁺"],
    ]).join(" + "),
    chloride: list([
      ["chloride", "Cl⁻"],
      ["nitrate", "NO₃⁻"],
      ["fluoride", "F⁻"],
    ]).join(" + "),
  };
}

/** Names beside the symbols: of all waters where they are few, else of those that stand apart. */
export function piperNames(
  dots: readonly PiperDot[],
  diagram: PiperDiagram,
  scale: PiperScale,
  radius: number,
): readonly SpecPart[] {
  const { px, width, height, unit, x, y } = scale;
  const { points, names = points.length > MOST_NAMES ? "apart" : "all" } = diagram;
  if (names === "none") return [];
  const spots = dots.map((dot) => ({ name: dot.name, ...px(dot) }));
  const room = roomAround(spots);
  const apart = points.length > VERY_MANY ? FAR_APART : APART;
  const wanted = spots.filter((_, i) => names === "all" || room[i] > apart);
  const symbols = [...spots, ...dots.flatMap(({ x, y, place }) => arrowSpots({ x, y }, place, scale))].map(
    (spot) => square(spot, radius),
  );
  const frame = frameBoxes(frameNames(diagram), unit).map((box) => square(px(box), box.half * unit));
  const named = namesAround(wanted, {
    fontSize: FONT,
    radius,
    width,
    height,
    farthest: names === "all" ? 40 : 10,
    taken: [...symbols, ...frame],
    avoided: sidesAsBoxes(px),
  });
  const back = (point: PlanePoint): PlanePoint => ({
    x: PLANE.left + point.x / unit,
    y: PLANE.top - point.y / unit,
  });
  const leaders = named.flatMap((place) => {
    if (place.leader === undefined) return [];
    const [from, to] = [back(place.leader), back(place)];
    return [{ ...from, x2: to.x, y2: to.y }];
  });
  return [
    {
      data: { values: leaders },
      mark: { type: "rule", color: INK.soft, strokeWidth: 0.7 },
      encoding: { x: x(), y: y(), x2: { field: "x2" }, y2: { field: "y2" } },
    },
    ...(["left", "right", "center"] as const).flatMap((align) => {
      const own = named
        .filter((place) => place.align === align)
        .map((place) => ({ name: place.name, ...back(place) }));
      const mark = { align, fontSize: FONT, fill: INK.ink };
      return haloed(own, "name", mark, { x: x(), y: y() });
    }),
  ];
}

/** Two points on the arrow of a place at a bound, px. */
function arrowSpots(
  from: PlanePoint,
  { toward }: PiperPlace,
  { px, unit }: PiperScale,
): readonly PlanePoint[] {
  if (toward === undefined) return [];
  const far = Math.hypot(toward.x - from.x, toward.y - from.y);
  return [9, ARROW].map((step) => {
    const part = Math.min(1, step / unit / far);
    return px({ x: from.x + part * (toward.x - from.x), y: from.y + part * (toward.y - from.y) });
  });
}

function square({ x, y }: PlanePoint, half: number): Box {
  return { left: x - half, right: x + half, top: y - half, foot: y + half };
}

/** The sides of the fields as rows of small boxes, px. */
function sidesAsBoxes(px: PiperScale["px"]): readonly Box[] {
  const steps = 40;
  return Object.values(FIELDS).flatMap((corners) =>
    corners.flatMap((from, i) => {
      const to = corners[(i + 1) % corners.length];
      return Array.from({ length: steps }, (_, k) => {
        const part = k / steps;
        return square(px({ x: from.x + part * (to.x - from.x), y: from.y + part * (to.y - from.y) }), 2);
      });
    }),
  );
}

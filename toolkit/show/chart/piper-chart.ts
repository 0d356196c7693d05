import { FIELDS, type PlanePoint } from "../../water/diagrams/piper-coordinates.js";
import type { PiperDiagram, PiperPoint } from "../../water/diagrams/piper-diagram.js";
import type { PiperPlace } from "../../water/diagrams/piper-place.js";
import { DISTINCT_SYMBOLS, type GroupSymbol, groupSymbol, groupSymbols } from "../color/group-symbols.js";
import { texts } from "./marks.js";
import { type Box, namesAround, roomAround } from "./names-around.js";
import { type FrameNames, frameBoxes, PLANE, piperFrame } from "./piper-frame.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

/** More names than this hide what a field shows: then the waters that stand apart keep theirs. */
const MOST_NAMES = 12;
/** Farther than this from its neighbours a symbol stands apart, px; among very many, farther still. */
const APART = 9;
const FAR_APART = 15;
const VERY_MANY = 24;
const FONT = 10.5;

/** One water in one field. */
interface Dot extends PlanePoint {
  readonly name: string;
  readonly field: string;
  readonly place: PiperPlace;
  readonly symbol: GroupSymbol;
}

/** Where things stand: the plane's units to px. */
interface Scale {
  readonly unit: number;
  readonly width: number;
  readonly height: number;
  readonly px: (point: PlanePoint) => PlanePoint;
  readonly x: (field?: string) => SpecPart;
  readonly y: (field?: string) => SpecPart;
}

/** A Piper diagram: frame, coverage ellipses, symbols (open at a bound, with an arrow to where less would go), names. */
export function piperChart(diagram: PiperDiagram, width = 640): ChartSpec {
  const scale = scaleOf(width);
  const symbols = symbolsOf(diagram);
  const dots = diagram.points.flatMap((point) => dotsOf(point, symbols(point)));
  const size = dots.length > 90 ? 34 : 52;
  return chartSpec({
    width: scale.width,
    height: scale.height,
    layer: [
      ...piperFrame(frameNames(diagram), scale.x, scale.y, scale.unit),
      ...(diagram.ellipses ? ellipseLayers(dots, scale) : []),
      ...arrowLayers(dots, scale, Math.sqrt(size) / 2),
      dotLayer(dots, size, scale),
      ...nameLayers(dots, diagram, scale, Math.sqrt(size) / 2),
      ...keyLayers(diagram, scale),
    ],
  });
}

function scaleOf(width: number): Scale {
  const unit = width / (PLANE.right - PLANE.left);
  const axis =
    (name: string, domain: readonly [number, number]) =>
    (field?: string): SpecPart => ({
      field: field ?? name,
      type: "quantitative",
      scale: { domain, nice: false, zero: false },
      axis: null,
    });
  return {
    unit,
    width,
    height: unit * (PLANE.top - PLANE.foot),
    px: ({ x, y }) => ({ x: (x - PLANE.left) * unit, y: (PLANE.top - y) * unit }),
    x: axis("x", [PLANE.left, PLANE.right]),
    y: axis("y", [PLANE.foot, PLANE.top]),
  };
}

/** One symbol for each group; without groups one for each of a few waters, and one for all of many. */
function symbolsOf({ groups, points }: PiperDiagram): (point: PiperPoint) => GroupSymbol {
  if (groups.length > 0) {
    const known = groupSymbols(groups);
    const none: GroupSymbol = { color: INK.soft, shape: "circle" };
    return ({ group }) => known.get(group) ?? none;
  }
  const own = groupSymbols(points.length <= DISTINCT_SYMBOLS ? points.map(({ name }) => name) : []);
  return ({ name }) => own.get(name) ?? groupSymbol(0);
}

function dotsOf(point: PiperPoint, symbol: GroupSymbol): readonly Dot[] {
  return (["cations", "anions", "diamond"] as const).flatMap((field) => {
    const place = point[field];
    if (place === undefined) return [];
    return [{ name: point.name, field, place, symbol, x: place.x.value, y: place.y.value }];
  });
}

/** Ions named along the sides as far as they were measured in one water at least. */
function frameNames({ points }: PiperDiagram): FrameNames {
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

function ellipseLayers(dots: readonly Dot[], { x, y }: Scale): readonly SpecPart[] {
  const rings = dots.filter(({ place }) => place.ellipse.length > 2);
  if (rings.length === 0) return [];
  const values = rings.flatMap(({ place, symbol, name, field }) =>
    [...place.ellipse, place.ellipse[0]].map((corner, order) => ({
      ...corner,
      order,
      ring: `${name} ${field}`,
      color: symbol.color,
    })),
  );
  return [
    {
      data: { values },
      mark: { type: "line", strokeWidth: 0.8, fillOpacity: 0.18, strokeOpacity: 0.75 },
      encoding: {
        x: x(),
        y: y(),
        order: { field: "order", type: "quantitative" },
        detail: { field: "ring", type: "nominal" },
        stroke: { field: "color", type: "nominal", scale: null },
        fill: { field: "color", type: "nominal", scale: null },
      },
    },
  ];
}

const ARROW = 17;
const HEAD = 4;

/** Short arrows from a place at a bound toward where it goes when there is less. */
function arrowLayers(dots: readonly Dot[], { unit, x, y }: Scale, radius: number): readonly SpecPart[] {
  const values = dots.flatMap(({ place, symbol, ...from }) => {
    if (place.toward === undefined) return [];
    const [dx, dy] = [place.toward.x - from.x, place.toward.y - from.y];
    const far = Math.hypot(dx, dy);
    const [ux, uy] = [dx / far, dy / far];
    const start = radius / unit;
    const end = Math.max(start + 5 / unit, Math.min(far, start + ARROW / unit));
    const tip = { x: from.x + ux * end, y: from.y + uy * end };
    const wing = (turn: number) => ({
      x: tip.x,
      y: tip.y,
      x2: tip.x - (HEAD / unit) * (ux * Math.cos(turn) - uy * Math.sin(turn)),
      y2: tip.y - (HEAD / unit) * (ux * Math.sin(turn) + uy * Math.cos(turn)),
    });
    const shaft = { x: from.x + ux * start, y: from.y + uy * start, x2: tip.x, y2: tip.y };
    return [shaft, wing(0.55), wing(-0.55)].map((line) => ({ ...line, color: symbol.color }));
  });
  if (values.length === 0) return [];
  return [
    {
      data: { values },
      mark: { type: "rule", strokeWidth: 1.2 },
      encoding: {
        x: x(),
        y: y(),
        x2: { field: "x2" },
        y2: { field: "y2" },
        stroke: { field: "color", type: "nominal", scale: null },
      },
    },
  ];
}

function dotLayer(dots: readonly Dot[], size: number, { x, y }: Scale): SpecPart {
  const values = dots.map(({ name, field, place, symbol, ...at }) => ({
    ...at,
    name,
    field,
    shape: symbol.shape,
    fill: place.open ? INK.paper : symbol.color,
    stroke: place.open ? symbol.color : INK.paper,
    line: place.open ? 1.6 : 0.8,
  }));
  return {
    data: { values },
    mark: { type: "point", opacity: 1, size },
    encoding: {
      x: x(),
      y: y(),
      shape: { field: "shape", type: "nominal", scale: null },
      fill: { field: "fill", type: "nominal", scale: null },
      stroke: { field: "stroke", type: "nominal", scale: null },
      strokeWidth: { field: "line", type: "quantitative", scale: null },
      tooltip: [{ field: "name", title: "water" }],
    },
  };
}

/** Names beside the symbols: of all waters where they are few, else of those that stand apart. */
function nameLayers(
  dots: readonly Dot[],
  diagram: PiperDiagram,
  scale: Scale,
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
      return own.length === 0 ? [] : haloed(own, mark, { x: x(), y: y() });
    }),
  ];
}

/** Two points on the arrow of a place at a bound, px. */
function arrowSpots(from: PlanePoint, { toward }: PiperPlace, { px, unit }: Scale): readonly PlanePoint[] {
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
function sidesAsBoxes(px: Scale["px"]): readonly Box[] {
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

/** Names on a narrow ground that lifts them off the lines behind. */
function haloed(values: readonly object[], mark: SpecPart, encoding: SpecPart): readonly SpecPart[] {
  const ground = { ...mark, fill: INK.paper, stroke: INK.paper, strokeWidth: 3, strokeJoin: "round" };
  return [texts(values, "name", ground, encoding), texts(values, "name", mark, encoding)];
}

/** The groups with their symbols in the free corners left and right of the diamond. */
function keyLayers({ groups, points }: PiperDiagram, { unit, x, y }: Scale): readonly SpecPart[] {
  if (groups.length === 0) return [];
  const rows = 12;
  const values = groups.map((group, i) => {
    const column = Math.floor(i / rows);
    const count = points.filter((point) => point.group === group).length;
    return {
      x: column === 0 ? PLANE.left + 8 / unit : 168,
      y: PLANE.top - (12 + 17 * (i % rows)) / unit,
      text: count > 1 ? `${group} (${count})` : group,
      ...groupSymbol(i),
    };
  });
  const place = { x: x(), y: y() };
  return [
    {
      data: { values },
      mark: { type: "point", opacity: 1, size: 52, strokeWidth: 0.8, stroke: INK.paper },
      encoding: {
        ...place,
        shape: { field: "shape", type: "nominal", scale: null },
        fill: { field: "color", type: "nominal", scale: null },
      },
    },
    texts(values, "text", { align: "left", dx: 10, fontSize: 11, fill: INK.ink, limit: 165 }, place),
  ];
}

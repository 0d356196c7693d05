import type { PiperDiagram, PiperPoint } from "../../water/diagrams/piper-diagram.js";
import { type GroupSymbol, groupSymbol, symbolsFor } from "../color/group-symbols.js";
import { countedGroup, keyLayers, symbolLayer } from "./diagram-marks.js";
import { PLANE, piperFrame } from "./piper-frame.js";
import { ARROW, frameNames, type PiperDot, type PiperScale, piperNames } from "./piper-names.js";
import { type ChartSpec, chartSpec, type SpecPart } from "./spec.js";

/** Rows of the key in one corner. */
const KEY_ROWS = 12;

/** A Piper diagram: frame, coverage ellipses, symbols (open at a bound, with an arrow to where less would go), names. */
export function piperChart(diagram: PiperDiagram, width = 640): ChartSpec {
  const scale = scaleOf(width);
  const symbols = symbolsFor(diagram.groups, diagram.points);
  const dots = diagram.points.flatMap((point) => dotsOf(point, symbols(point)));
  const size = dots.length > 90 ? 34 : 52;
  return chartSpec({
    width: scale.width,
    height: scale.height,
    layer: [
      ...piperFrame(frameNames(diagram), scale.x, scale.y, scale.unit),
      ...(diagram.ellipses ? ellipseLayers(dots, scale) : []),
      ...arrowLayers(dots, scale, Math.sqrt(size) / 2),
      symbolLayer(
        dots.map(({ place, ...dot }) => ({ ...dot, open: place.open })),
        size,
        scale.x(),
        scale.y(),
      ),
      ...piperNames(dots, diagram, scale, Math.sqrt(size) / 2),
      ...keyOf(diagram, scale),
    ],
  });
}

function scaleOf(width: number): PiperScale {
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

function dotsOf(point: PiperPoint, symbol: GroupSymbol): readonly PiperDot[] {
  return (["cations", "anions", "diamond"] as const).flatMap((field) => {
    const place = point[field];
    if (place === undefined) return [];
    return [{ name: point.name, field, place, symbol, x: place.x.value, y: place.y.value }];
  });
}

function ellipseLayers(dots: readonly PiperDot[], { x, y }: PiperScale): readonly SpecPart[] {
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

const HEAD = 4;

/** Short arrows from a place at a bound toward where it goes when there is less. */
function arrowLayers(
  dots: readonly PiperDot[],
  { unit, x, y }: PiperScale,
  radius: number,
): readonly SpecPart[] {
  const values = dots.flatMap(({ place, symbol, ...from }) => {
    if (
      place.toward === undefined ||
      Math.hypot(place.toward.x - from.x, place.toward.y - from.y) < radius / unit
    )
      return [];
    const [dx, dy] = [place.toward.x - from.x, place.toward.y - from.y];
    const far = Math.hypot(dx, dy);
    const [ux, uy] = [dx / far, dy / far];
    const start = (0.9 * radius) / unit;
    const end = Math.min(far, start + ARROW / unit);
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

/** The groups with their symbols in the free corners left and right of the diamond. */
function keyOf({ groups, points }: PiperDiagram, { unit, x, y }: PiperScale): readonly SpecPart[] {
  const values = groups.map((group, i) => ({
    x: i < KEY_ROWS ? PLANE.left + 8 / unit : 168,
    y: PLANE.top - (12 + 17 * (i % KEY_ROWS)) / unit,
    text: countedGroup(group, points),
    ...groupSymbol(i),
  }));
  return keyLayers(values, 165, x(), y());
}

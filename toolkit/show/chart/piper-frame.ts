import {
  ANION_OFFSET,
  diamondPoint,
  FIELDS,
  HEIGHT,
  type PlanePoint,
  SIDE,
} from "../../water/diagrams/piper-coordinates.js";
import { textWidth } from "../trace/label-places.js";
import { texts } from "./marks.js";
import { INK, type SpecPart } from "./spec.js";

/** What is drawn of the plane of a Piper diagram, in its own units. */
export const PLANE = { left: -16, right: 236, foot: -17, top: 197 } as const;
/** Below this many px a unit there is no room for numbers between the triangles and the diamond. */
const NARROW = 2;
const TICKS = [25, 50, 75] as const;

/** Names along the sides of the fields; anions as far as they were measured. */
export interface FrameNames {
  /** "Cl⁻ + NO₃⁻": the ions counted with chloride. */
  readonly chloride: string;
  readonly sodium: string;
}

interface Segment {
  readonly x: number;
  readonly y: number;
  readonly x2: number;
  readonly y2: number;
}

type Encode = (field?: string) => SpecPart;

/** The empty diagram: three fields, a line at each quarter, numbers and names along the sides. */
export function piperFrame(names: FrameNames, x: Encode, y: Encode, unit: number): readonly SpecPart[] {
  const segments = (values: readonly Segment[], color: string, strokeWidth: number): SpecPart => ({
    data: { values },
    mark: { type: "rule", color, strokeWidth },
    encoding: { x: x("x"), y: y("y"), x2: { field: "x2" }, y2: { field: "y2" } },
  });
  const quarters = TICKS.flatMap((tick) => gridLines(tick).map((line) => ({ ...line, tick })));
  const frame = Object.values(FIELDS).flatMap((corners) =>
    corners.map((corner, i) => segment(corner, corners[(i + 1) % corners.length])),
  );
  return [
    segments(quarters, INK.hair, 1),
    segments(frame, INK.soft, 1),
    ...textLayers([...tickLabels(unit), ...sideNames(names, unit)], x, y),
  ];
}

function segment(from: PlanePoint, to: PlanePoint): Segment {
  return { x: from.x, y: from.y, x2: to.x, y2: to.y };
}

/** Lines of equal part in the triangles and of equal sums in the diamond. */
function gridLines(tick: number): readonly Segment[] {
  const top = HEIGHT * tick;
  const triangle = (offset: number): readonly Segment[] => [
    { x: offset + tick / 2, y: top, x2: offset + SIDE - tick / 2, y2: top },
    { x: offset + tick, y: 0, x2: offset + tick + (SIDE - tick) / 2, y2: HEIGHT * (SIDE - tick) },
    { x: offset + tick, y: 0, x2: offset + tick / 2, y2: top },
  ];
  const onCations = { x: tick, y: 0 };
  const onAnions = { x: ANION_OFFSET + tick, y: 0 };
  const ends = (anion: number) => diamondPoint(onCations, { x: ANION_OFFSET + anion, y: 0 });
  const others = (cation: number) => diamondPoint({ x: cation, y: 0 }, onAnions);
  return [
    ...triangle(0),
    ...triangle(ANION_OFFSET),
    segment(ends(0), ends(SIDE)),
    segment(others(0), others(SIDE)),
  ];
}

/** A text of the frame, in the plane's units. */
interface FrameText extends PlanePoint {
  readonly text: string;
  readonly align: "left" | "right" | "center";
  readonly angle: number;
  readonly size: number;
  readonly fill: string;
}

function textLayers(all: readonly FrameText[], x: Encode, y: Encode): readonly SpecPart[] {
  const kinds = new Map<string, FrameText[]>();
  for (const text of all) {
    const key = `${text.align} ${text.angle} ${text.size}`;
    kinds.set(key, [...(kinds.get(key) ?? []), text]);
  }
  return [...kinds.values()].map((values) => {
    const { align, angle, size, fill } = values[0];
    const shown = values.map((each) => ({ x: each.x, y: each.y, text: each.text }));
    return texts(shown, "text", { align, angle, fontSize: size, fill }, { x: x(), y: y() });
  });
}

/** What the texts of the frame cover, in the plane's units: turned ones as a row of small squares. */
export function frameBoxes(names: FrameNames, unit: number): readonly PlaneBox[] {
  return [...tickLabels(unit), ...sideNames(names, unit)].flatMap(({ x, y, text, align, angle, size }) => {
    const [long, half] = [textWidth(text, size) / unit, size / 2 / unit];
    const turn = (-angle * Math.PI) / 180;
    const start = align === "left" ? 0 : align === "right" ? -long : -long / 2;
    const count = Math.max(1, Math.ceil(long / half));
    return Array.from({ length: count + 1 }, (_, i) => {
      const along = start + (long * i) / count;
      return { x: x + along * Math.cos(turn), y: y + along * Math.sin(turn), half };
    });
  });
}

/** A square of the plane by its middle. */
export interface PlaneBox extends PlanePoint {
  readonly half: number;
}

/** Numbers along the sides, in the direction in which their ion grows. */
function tickLabels(unit: number): readonly FrameText[] {
  const narrow = unit < NARROW;
  const away = 5 / unit;
  const label = (align: FrameText["align"], x: number, y: number, tick: number): FrameText => ({
    x,
    y,
    text: String(tick),
    align,
    angle: 0,
    size: 9.5,
    fill: INK.soft,
  });
  return TICKS.flatMap((tick) => {
    const [low, high] = [HEIGHT * tick, HEIGHT * (SIDE - tick)];
    const rising = diamondPoint({ x: 0, y: 0 }, { x: ANION_OFFSET + tick, y: 0 });
    const falling = diamondPoint({ x: SIDE - tick, y: 0 }, { x: ANION_OFFSET + SIDE, y: 0 });
    return [
      label("right", tick / 2 - away, low, tick),
      ...(narrow ? [] : [label("right", ANION_OFFSET + (SIDE - tick) / 2 - away, high, tick)]),
      label("right", rising.x - away, rising.y, tick),
      ...(narrow ? [] : [label("left", tick + (SIDE - tick) / 2 + away, high, tick)]),
      label("left", ANION_OFFSET + SIDE - tick / 2 + away, low, tick),
      label("left", falling.x + away, falling.y, tick),
      label("center", SIDE - tick, -2 * away, tick),
      label("center", ANION_OFFSET + tick, -2 * away, tick),
    ];
  });
}

/** What grows along each side, and in which direction. */
function sideNames(names: FrameNames, unit: number): readonly FrameText[] {
  const off = (unit < NARROW ? 15 : 27) / unit;
  const [sin, cos] = [Math.sin(Math.PI / 3) * off, Math.cos(Math.PI / 3) * off];
  const middle = HEIGHT * SIDE * 0.5;
  const upper = diamondPoint({ x: 0, y: 0 }, { x: ANION_OFFSET + SIDE / 2, y: 0 });
  const outer = diamondPoint({ x: SIDE / 2, y: 0 }, { x: ANION_OFFSET + SIDE, y: 0 });
  const label = (text: string, angle: number, x: number, y: number): FrameText => ({
    x,
    y,
    text,
    angle,
    align: "center",
    size: unit < NARROW ? 8.5 : 11,
    fill: INK.ink,
  });
  const outward = unit < NARROW ? 1.75 : 1;
  const rising = (text: string, x: number, y: number, far = 1) =>
    label(text, -60, x - far * sin, y + far * cos);
  const falling = (text: string, x: number, y: number, far = 1) =>
    label(text, 60, x + far * sin, y + far * cos);
  return [
    rising("Mg²⁺ / % →", SIDE / 4, middle, outward),
    rising("← HCO₃⁻ + CO₃²⁻ / %", ANION_OFFSET + SIDE / 4, middle),
    rising(`SO₄²⁻ + ${names.chloride} / % →`, upper.x, upper.y, outward),
    falling(`${names.sodium} / % →`, (3 * SIDE) / 4, middle),
    falling("← SO₄²⁻ / %", ANION_OFFSET + (3 * SIDE) / 4, middle, outward),
    falling("← Ca²⁺ + Mg²⁺ / %", outer.x, outer.y, outward),
    label("← Ca²⁺ / %", 0, SIDE / 2, -outward * off),
    label(`${names.chloride} / % →`, 0, ANION_OFFSET + SIDE / 2, -outward * off),
  ];
}

import type { StiffDiagram, StiffPolygon, StiffVertex } from "../../water/diagrams/stiff-diagram.js";
import { groupSymbol, symbolsFor } from "../color/group-symbols.js";
import { expanded } from "../text/measured-text.js";
import { countedGroup, haloed, keyLayers } from "./diagram-marks.js";
import { texts } from "./marks.js";
import { pixelPlane, type Segment, segments } from "./pixel-plane.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

const LEFT = 58;
const RIGHT = 46;
const ROW = 19;
/** Height of a polygon's name above it and of its scale below. */
const NAME = 20;
const SCALE = 26;
const CELL = NAME + 2 * ROW + SCALE + 10;
const KEY = 18;
/** Half a cell must be wider than this for words in it, px. */
const WORDS = 66;
/** A bar shorter than this would only blur the outline, px. */
const SHORTEST_BAR = 1.5;

/** One polygon on its place: px from the upper left corner of the picture. */
interface Cell {
  readonly polygon: StiffPolygon;
  readonly color: string;
  /** The zero line. */
  readonly middle: number;
  readonly half: number;
  readonly top: number;
  /** px per meq/L */
  readonly scale: number;
  readonly reach: number;
}

/** Stiff polygons side by side, charge in meq/L from the middle line, with bars of the expanded uncertainty (95 %). */
export function stiffChart(diagram: StiffDiagram, width = 640): ChartSpec {
  const { polygons, groups } = diagram;
  const columns = columnsFor(polygons.length, width);
  const head = groups.length > 0 ? KEY * Math.ceil(groups.length / 3) + 6 : 0;
  const rows = Math.ceil(polygons.length / columns);
  const plane = pixelPlane(width, head + rows * CELL + 16);
  const cells = cellsOf(diagram, columns, width, head);
  const [x, y] = [plane.x(), plane.y()];
  const unit = [{ x: (LEFT + width - RIGHT) / 2, y: plane.height - 7, text: "charge / (meq/L)" }];
  return chartSpec({
    width,
    height: plane.height,
    layer: [
      segments(cells.flatMap(gridOf), { color: INK.hair, strokeWidth: 1 }, x, y),
      ...outlineLayers(cells, x, y),
      segments(cells.flatMap(zeroLine), { color: INK.soft, strokeWidth: 1 }, x, y),
      segments(cells.flatMap(barsOf), { color: INK.ink, strokeWidth: 1.2 }, x, y),
      ...boundLayers(cells, x, y),
      ...wordLayers(cells, columns, width, x, y),
      texts(unit, "text", { align: "center", fontSize: 11, fill: INK.soft }, { x, y }),
      ...keyLayers(keyOf(diagram, width), width / 3 - 30, x, y),
    ],
  });
}

function columnsFor(count: number, width: number): number {
  const fitting = Math.max(1, Math.floor((width - LEFT - RIGHT) / 88));
  const wished = count === 1 ? 1 : count <= 4 ? 2 : count <= 9 ? 3 : count <= 24 ? 4 : 6;
  return Math.min(wished, fitting);
}

function cellsOf(diagram: StiffDiagram, columns: number, width: number, head: number): readonly Cell[] {
  const color = symbolsFor(diagram.groups, []);
  const cell = (width - LEFT - RIGHT) / columns;
  const half = Math.min(cell / 2 - 8, 170);
  const reaches = diagram.polygons.map(widest);
  const shared = Math.max(...reaches);
  return diagram.polygons.map((polygon, i) => {
    const reach = diagram.ownScales ? reaches[i] : shared;
    return {
      polygon,
      color: color(polygon).color,
      middle: LEFT + cell * ((i % columns) + 0.5),
      half,
      top: head + CELL * Math.floor(i / columns) + NAME + 6,
      scale: reach > 0 ? half / reach : 0,
      reach,
    };
  });
}

/** The farthest that a polygon reaches, its bars included, meq/L. */
function widest({ vertices }: StiffPolygon): number {
  return Math.max(
    0,
    ...vertices.map(({ milliequivalents }) =>
      milliequivalents === undefined ? 0 : milliequivalents.value + expanded(milliequivalents),
    ),
  );
}

const rowY = ({ top }: Cell, row: number): number => top + (2 - row) * ROW;

function gridOf(cell: Cell): readonly Segment[] {
  const { middle, half } = cell;
  return [0, 1, 2].map((row) => ({
    x: middle - half,
    x2: middle + half,
    y: rowY(cell, row),
    y2: rowY(cell, row),
  }));
}

function zeroLine(cell: Cell): readonly Segment[] {
  return [{ x: cell.middle, x2: cell.middle, y: rowY(cell, 2) - 6, y2: rowY(cell, 0) + 8 }];
}

function outlineLayers(cells: readonly Cell[], x: SpecPart, y: SpecPart): readonly SpecPart[] {
  const runs = cells.flatMap((cell, index) =>
    cell.polygon.outline.map((run, part) =>
      run.map((point, order) => ({
        x: cell.middle + cell.scale * point.x,
        y: rowY(cell, point.y),
        order,
        run: `${index} ${part}`,
        color: cell.color,
        whole: cell.polygon.complete,
      })),
    ),
  );
  const layer = (values: readonly object[], mark: SpecPart): readonly SpecPart[] =>
    values.length === 0
      ? []
      : [
          {
            data: { values },
            mark: { type: "line", strokeWidth: 1.4, strokeJoin: "round", ...mark },
            encoding: {
              x,
              y,
              order: { field: "order", type: "quantitative" },
              detail: { field: "run", type: "nominal" },
              stroke: { field: "color", type: "nominal", scale: null },
              ...(mark.fillOpacity === undefined
                ? {}
                : { fill: { field: "color", type: "nominal", scale: null } }),
            },
          },
        ];
  const points = runs.flat();
  return [
    ...layer(
      points.filter(({ whole }) => whole),
      { fillOpacity: 0.3 },
    ),
    ...layer(
      points.filter(({ whole }) => !whole),
      { strokeDash: [4, 3] },
    ),
  ];
}

function barsOf(cell: Cell): readonly Segment[] {
  return cell.polygon.vertices.flatMap((vertex) => {
    const { milliequivalents, row, x } = vertex;
    if (milliequivalents === undefined || x === undefined) return [];
    const half = cell.scale * expanded(milliequivalents);
    if (half < SHORTEST_BAR) return [];
    const [at, y] = [cell.middle + cell.scale * x, rowY(cell, row)];
    const cap = (px: number): Segment => ({ x: px, x2: px, y: y - 2.5, y2: y + 2.5 });
    return [{ x: at - half, x2: at + half, y, y2: y }, cap(at - half), cap(at + half)];
  });
}

/** Open rings where a corner stands at a bound, with a short arrow toward less. */
function boundLayers(cells: readonly Cell[], x: SpecPart, y: SpecPart): readonly SpecPart[] {
  const rings = cells.flatMap((cell) =>
    cell.polygon.vertices.flatMap((vertex) =>
      vertex.open && vertex.x !== undefined
        ? [
            {
              x: cell.middle + cell.scale * vertex.x,
              y: rowY(cell, vertex.row),
              color: cell.color,
              toZero: vertex.side === "cation" ? 1 : -1,
            },
          ]
        : [],
    ),
  );
  if (rings.length === 0) return [];
  const arrows = rings.flatMap(({ x: from, y: at, toZero }) => {
    const [start, tip] = [from + 4 * toZero, from + 14 * toZero];
    const wing = (dy: number): Segment => ({ x: tip, y: at, x2: tip - 4 * toZero, y2: at + dy });
    return [{ x: start, x2: tip, y: at, y2: at }, wing(2.4), wing(-2.4)];
  });
  return [
    segments(arrows, { color: INK.ink, strokeWidth: 1.1 }, x, y),
    {
      data: { values: rings },
      mark: { type: "point", shape: "circle", size: 34, strokeWidth: 1.5, opacity: 1, fill: INK.paper },
      encoding: { x, y, stroke: { field: "color", type: "nominal", scale: null } },
    },
  ];
}

const FORMULAS: Readonly<Record<string, string>> = {
  calcium: "Ca²⁺",
  magnesium: "Mg²⁺",
  chloride: "Cl⁻",
  sulfate: "SO₄²⁻",
  hydrogencarbonate: "HCO₃⁻",
};

function wordLayers(
  cells: readonly Cell[],
  columns: number,
  width: number,
  x: SpecPart,
  y: SpecPart,
): readonly SpecPart[] {
  const names = cells.map((cell) => ({
    x: cell.middle,
    y: cell.top - NAME + 5,
    text: cell.polygon.name,
  }));
  const firsts = cells.filter((_, i) => i % columns === 0);
  const side = (which: "cation" | "anion", at: number) =>
    firsts.flatMap((cell) =>
      cell.polygon.vertices
        .filter((vertex) => vertex.side === which)
        .map((vertex) => ({ x: at, y: rowY(cell, vertex.row), text: ionText(vertex, cells) })),
    );
  const quiet = { fontSize: 10, fill: INK.soft };
  const place = { x, y };
  const ticks = cells.flatMap(ticksOf);
  const missing = cells.flatMap((cell) =>
    cell.polygon.vertices
      .filter((vertex) => vertex.milliequivalents === undefined)
      .map((vertex) => ({
        x: cell.middle + (vertex.side === "cation" ? -5 : 5),
        y: rowY(cell, vertex.row),
        text: cell.half > WORDS ? "not measured" : "?",
        side: vertex.side,
      })),
  );
  return [
    texts(
      names,
      "text",
      { align: "center", fontSize: 11, fill: INK.ink, limit: (width - LEFT - RIGHT) / columns - 4 },
      place,
    ),
    texts(side("cation", LEFT - 6), "text", { ...quiet, align: "right" }, place),
    texts(side("anion", width - RIGHT + 6), "text", { ...quiet, align: "left" }, place),
    texts(ticks, "text", { align: "center", fontSize: 9.5, fill: INK.soft }, place),
    ...(["cation", "anion"] as const).flatMap((which) =>
      haloed(
        missing.filter((each) => each.side === which),
        "text",
        { align: which === "cation" ? "right" : "left", fontSize: 9.5, fill: INK.soft },
        place,
      ),
    ),
  ];
}

/** Sodium stands alone where no water's potassium was measured. */
function ionText({ ions }: StiffVertex, cells: readonly Cell[]): string {
  const potassium = cells.some(({ polygon }) => !polygon.absent.includes("potassium"));
  return FORMULAS[ions] ?? (potassium ? "Na⁺ + K⁺" : "Na⁺");
}

/** A round number on both sides of zero. */
function ticksOf(cell: Cell): readonly { readonly x: number; readonly y: number; readonly text: string }[] {
  if (!(cell.reach > 0)) return [];
  const power = 10 ** Math.floor(Math.log10(cell.reach));
  const round = [5, 2, 1].map((step) => step * power).find((step) => step <= cell.reach) ?? power;
  const y = rowY(cell, 0) + 16;
  const text = String(Number(round.toPrecision(1)));
  return [
    { x: cell.middle - cell.scale * round, y, text },
    { x: cell.middle, y, text: "0" },
    { x: cell.middle + cell.scale * round, y, text },
  ];
}

function keyOf({ groups, polygons }: StiffDiagram, width: number) {
  return groups.map((group, i) => ({
    x: LEFT + (i % 3) * ((width - LEFT - RIGHT) / 3) + 8,
    y: 9 + KEY * Math.floor(i / 3),
    text: countedGroup(group, polygons),
    color: groupSymbol(i).color,
    shape: "square",
  }));
}

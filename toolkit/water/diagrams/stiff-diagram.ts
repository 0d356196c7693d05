import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { type ChargeGroup, HYDROGENCARBONATE_WAYS } from "./charge-groups.js";
import { chargeNotes } from "./diagram-notes.js";
import type { NamedWater, WaterInputs } from "./named-water.js";
import type { PlanePoint } from "./piper-coordinates.js";
import { requireOneOf } from "./require-options.js";
import {
  absentOf,
  type ChargeDiagramOptions,
  namesOfGroups,
  type SixGroups,
  sixGroupsOf,
} from "./six-groups.js";

export interface StiffOptions<W extends NamedWater = NamedWater> extends ChargeDiagramOptions<W> {
  /** "shared", so that widths compare, or "own" for each water; by default shared up to a tenfold difference. */
  readonly scale?: "shared" | "own";
}

/** One corner of a polygon. */
export interface StiffVertex {
  /** "sodium + potassium", "calcium", "magnesium", "chloride", "hydrogencarbonate" or "sulfate". */
  readonly ions: string;
  readonly side: "cation" | "anion";
  /** 2 above, 1, 0 below. */
  readonly row: 0 | 1 | 2;
  /** meq/L, magnitude, bounded ions at their bound; undefined where not measured. */
  readonly milliequivalents: MeasuredValue | undefined;
  /** Signed meq/L: cations to the left; undefined where not measured. */
  readonly x: number | undefined;
  /** True where a visible part of it stands at a bound. */
  readonly open: boolean;
}

export interface StiffPolygon {
  readonly name: string;
  /** "" where nothing is grouped. */
  readonly group: string;
  /** Against the clock from the upper left: sodium + potassium, calcium, magnesium, sulfate, hydrogencarbonate, chloride. */
  readonly vertices: readonly StiffVertex[];
  /** The outline as runs of points; one closed run where all six were measured, else with gaps. */
  readonly outline: readonly (readonly PlanePoint[])[];
  readonly complete: boolean;
  /** Largest charge of a group, meq/L. */
  readonly reach: number;
  readonly absent: readonly string[];
}

export interface StiffDiagram {
  readonly kind: "stiff-diagram";
  readonly title: string;
  readonly groups: readonly string[];
  readonly polygons: readonly StiffPolygon[];
  /** True where every polygon is drawn on a scale of its own. */
  readonly ownScales: boolean;
  readonly notes: readonly string[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** Corners in order, by their index in `SIX_GROUPS`. */
const CORNERS: readonly (readonly [index: number, row: 0 | 1 | 2])[] = [
  [2, 2],
  [0, 1],
  [1, 0],
  [4, 0],
  [5, 1],
  [3, 2],
];
/** A bound that makes up less than this part of the polygon's reach is not seen. */
const VISIBLE = 0.02;
const TENFOLD = 10;
const OWN_SCALES = "Each polygon has a scale of its own: compare shapes, not widths.";
const KNOWN = { groupBy: true, title: true, scale: true, hydrogencarbonate: true } as const;

/**
 * Stiff polygons of waters: charge of six groups of ions, meq/L, on three rows, cations to the left and anions to the
 * right: sodium with potassium and chloride above, calcium and hydrogencarbonate, magnesium and sulfate below.
 *
 * Ions at a bound count at their bound, the corner open. A corner without its main ion is left out and the outline has a
 * gap there: it is not zero.
 *
 * @param waters one, several, or results of `quantify`; mg/L, alkalinity in mg/L as CaCO3
 * @throws IonbookError "no-waters", "bad-water", "duplicate-name", "unknown-field", "unknown-option", "bad-option",
 *   "not-a-number"; "nothing-to-draw" where no group of any water was measured; else as `chargeBalance`
 * @source H.A. Stiff, J. Petrol. Technol. 3 (1951) section 1, 15
 */
export function stiffDiagram<W extends NamedWater>(
  waters: WaterInputs<W>,
  options: StiffOptions<W> = {},
): StiffDiagram {
  requireKnownOptions(options, KNOWN, "stiffDiagram");
  requireOneOf(options.scale, ["shared", "own"], "scale", "stiffDiagram");
  requireOneOf(options.hydrogencarbonate, HYDROGENCARBONATE_WAYS, "hydrogencarbonate", "stiffDiagram");
  const read = sixGroupsOf(waters, options, "stiffDiagram");
  const polygons = read.map(polygonOf);
  const reaches = polygons.map(({ reach }) => reach).filter((reach) => reach > 0);
  if (reaches.length === 0)
    throw new IonbookError(
      "nothing-to-draw",
      `no ion of a Stiff diagram was measured: give calcium, magnesium, sodium, chloride, sulfate, hydrogencarbonate or alkalinity`,
    );
  const wide = Math.max(...reaches) > TENFOLD * Math.min(...reaches);
  const ownScales = (options.scale ?? (wide ? "own" : "shared")) === "own" && polygons.length > 1;
  const result: StiffDiagram = {
    kind: "stiff-diagram",
    title: options.title ?? "",
    groups: namesOfGroups(read),
    polygons,
    ownScales,
    notes: [
      ...(ownScales ? [OWN_SCALES] : []),
      ...chargeNotes(
        read.map(({ name, charge }, i) => ({
          name,
          charge,
          open: polygons[i].vertices.filter(({ open }) => open).map(({ ions }) => ions),
        })),
        "a gap in the outline, not zero",
      ),
    ],
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function polygonOf({ name, group, charge }: SixGroups): StiffPolygon {
  const { groups } = charge;
  const reach = Math.max(0, ...groups.map(({ milliequivalents }) => milliequivalents?.value ?? 0));
  const vertices = CORNERS.map(([index, row]) => vertexOf(groups[index], row, reach));
  const points = vertices.map(({ x, row }) => (x === undefined ? undefined : { x, y: row }));
  return {
    name,
    group,
    vertices,
    outline: runsOf(points),
    complete: points.every((point) => point !== undefined),
    reach,
    absent: absentOf(groups),
  };
}

function vertexOf(group: ChargeGroup, row: 0 | 1 | 2, reach: number): StiffVertex {
  const { name, side, milliequivalents, bounded } = group;
  return {
    ions: name,
    side,
    row,
    milliequivalents,
    x: milliequivalents && (side === "cation" ? -1 : 1) * milliequivalents.value,
    open: bounded > VISIBLE * reach,
  };
}

/** A ring of points with gaps as the runs between them; closed where there is no gap. */
function runsOf(ring: readonly (PlanePoint | undefined)[]): readonly (readonly PlanePoint[])[] {
  const gap = ring.indexOf(undefined);
  if (gap < 0) {
    const whole = ring.filter((point) => point !== undefined);
    return [[...whole, whole[0]]];
  }
  const turned = [...ring.slice(gap), ...ring.slice(0, gap)];
  const runs: PlanePoint[][] = [];
  turned.forEach((point, i) => {
    if (point === undefined) return;
    if (turned[i - 1] === undefined) runs.push([point]);
    else runs[runs.length - 1].push(point);
  });
  return runs;
}

function describe({ title, polygons, notes }: StiffDiagram): string {
  const count = polygons.length === 1 ? polygons[0].name : `${polygons.length} waters`;
  const lines = polygons.map(({ name, vertices }) => {
    const parts = vertices.map(({ ions, milliequivalents, open }) => {
      if (milliequivalents === undefined) return `${ions} not measured`;
      return `${ions} ${open ? "below " : ""}${Number(milliequivalents.value.toPrecision(3))}`;
    });
    return `${name}: ${parts.join(", ")}`;
  });
  return [`Stiff diagram of ${title === "" ? count : `${title}, ${count}`}, meq/L`, ...lines, ...notes].join(
    "\n",
  );
}

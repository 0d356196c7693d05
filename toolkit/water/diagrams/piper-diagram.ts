import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import {
  type ChargeGroupOptions,
  chargeGroups,
  type GroupedCharge,
  type GroupRule,
  HYDROGENCARBONATE_WAYS,
  named,
} from "./charge-groups.js";
import { chargeNotes } from "./diagram-notes.js";
import type { GroupBy, GroupedWater, NamedWater, WaterInputs } from "./named-water.js";
import { diamondPlace, type PiperPlace, percentages, placeOf } from "./piper-place.js";
import { readNamedWaters } from "./read-named-waters.js";
import { requireLevel, requireOneOf } from "./require-options.js";

export interface PiperOptions<W extends NamedWater = NamedWater> extends ChargeGroupOptions {
  /** A field of the waters, "site", or a function of one; by default their `group`. */
  readonly groupBy?: GroupBy<W>;
  /** Coverage of the ellipses, 0 to 1; default 0.95. */
  readonly level?: number;
  /** Draw the joint uncertainty of each place; default true. */
  readonly ellipses?: boolean;
  /** Names beside the symbols: of all waters, of those that stand apart, or none; by default all of up to twelve. */
  readonly names?: "all" | "apart" | "none";
  readonly title?: string;
}

/** One water of the diagram. */
export interface PiperPoint {
  readonly name: string;
  /** "" where nothing is grouped. */
  readonly group: string;
  /** Parts of the charge of the three groups, %; undefined where one of them was not measured. */
  readonly cationPercent:
    | {
        readonly calcium: MeasuredValue;
        readonly magnesium: MeasuredValue;
        readonly sodiumPotassium: MeasuredValue;
      }
    | undefined;
  readonly anionPercent:
    | {
        readonly hydrogencarbonate: MeasuredValue;
        readonly sulfate: MeasuredValue;
        readonly chloride: MeasuredValue;
      }
    | undefined;
  readonly cations: PiperPlace | undefined;
  readonly anions: PiperPlace | undefined;
  readonly diamond: PiperPlace | undefined;
  /** The cation and the anion that carry more than half of the charge: "calcium–hydrogencarbonate", else "mixed". */
  readonly type: string | undefined;
  /** Ions at a bound. */
  readonly bounds: readonly string[];
  /** Ions that belong to the diagram and were not measured. */
  readonly absent: readonly string[];
}

export interface PiperDiagram {
  readonly kind: "piper-diagram";
  readonly title: string;
  readonly level: number;
  readonly ellipses: boolean;
  /** Undefined: all names of up to twelve waters, else of those that stand apart. */
  readonly names: "all" | "apart" | "none" | undefined;
  /** Names of the groups in the order of first mention; empty where nothing is grouped. */
  readonly groups: readonly string[];
  readonly points: readonly PiperPoint[];
  /** What a reader must know of what is drawn and what is not, in sentences. */
  readonly notes: readonly string[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** The six groups of the diagram. */
export const PIPER_GROUPS: readonly GroupRule[] = [
  { name: "calcium", side: "cation", main: "calcium", others: [] },
  { name: "magnesium", side: "cation", main: "magnesium", others: [] },
  { name: "sodium + potassium", side: "cation", main: "sodium", others: ["potassium"] },
  { name: "hydrogencarbonate", side: "anion", main: "hydrogencarbonate", others: [], along: ["carbonate"] },
  { name: "sulfate", side: "anion", main: "sulfate", others: [] },
  { name: "chloride", side: "anion", main: "chloride", others: ["nitrate", "fluoride"] },
];

/** A bound that is less than this part of a side moves no place visibly, %. */
const VISIBLE_PERCENT = 0.5;
const KNOWN = {
  groupBy: true,
  level: true,
  ellipses: true,
  names: true,
  title: true,
  hydrogencarbonate: true,
} as const;

/**
 * Places of waters in a Piper diagram: parts of the charge of the cations (calcium, magnesium, sodium with potassium) and
 * of the anions (hydrogencarbonate with carbonate, sulfate, chloride with nitrate and fluoride), each in its triangle, and
 * both together in the diamond, with uncertainties and their covariances.
 *
 *     P = 100·e/Σe      x = P_right + ½·P_top      y = ½√3·P_top      e = |z|·c/M, meq/L
 *
 * Ions at a bound count at their bound: where that is seen, the symbol is open and an arrow points to where it goes when
 * there is less. A triangle without one of its three main ions holds no such water, nor does the diamond; potassium,
 * nitrate and fluoride are told where they are missing. What belongs to no group is left out, and told above 5 %.
 *
 * @param waters one, several, or results of `quantify`; mg/L, alkalinity in mg/L as CaCO3
 * @throws IonbookError "no-waters", "bad-water", "duplicate-name", "unknown-field", "unknown-option", "bad-option",
 *   "not-a-number"; "nothing-to-draw" where no water has a place; else as `chargeBalance`
 * @source A.M. Piper, Trans. Am. Geophys. Union 25 (1944) 914
 */
export function piperDiagram<W extends NamedWater>(
  waters: WaterInputs<W>,
  options: PiperOptions<W> = {},
): PiperDiagram {
  requireKnownOptions(options, KNOWN, "piperDiagram");
  const { level = 0.95, ellipses = true, title = "" } = options;
  requireLevel(level, "piperDiagram");
  requireOneOf(options.hydrogencarbonate, HYDROGENCARBONATE_WAYS, "hydrogencarbonate", "piperDiagram");
  requireOneOf(options.names, ["all", "apart", "none"], "names", "piperDiagram");
  const grouped = readNamedWaters(waters, options.groupBy, "piperDiagram");
  const charges = grouped.map(({ water }) => chargeGroups(water, PIPER_GROUPS, options));
  const points = grouped.map((each, i) => pointOf(each, charges[i], level));
  requirePlaces(points);
  const result: PiperDiagram = {
    kind: "piper-diagram",
    title,
    level,
    ellipses,
    names: options.names,
    groups: [...new Set(grouped.map(({ group }) => group))].filter((group) => group !== ""),
    points,
    notes: chargeNotes(
      grouped.map(({ water }, i) => ({
        name: water.name,
        charge: charges[i],
        open: openGroups(points[i], charges[i]),
      })),
      "no place in that triangle, nor in the diamond",
    ),
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

/** Groups of an open place whose bound has a visible part in it. */
function openGroups({ cations, anions, diamond }: PiperPoint, { groups }: GroupedCharge): readonly string[] {
  return (["cation", "anion"] as const).flatMap((side) => {
    const place = side === "cation" ? cations : anions;
    if (place?.open !== true && diamond?.open !== true) return [];
    const own = groups.filter((group) => group.side === side);
    const sum = own.reduce((total, { milliequivalents }) => total + (milliequivalents?.value ?? 0), 0);
    return own.filter(({ bounded }) => 100 * bounded > sum * VISIBLE_PERCENT).map(({ name }) => name);
  });
}

function requirePlaces(points: readonly PiperPoint[]): void {
  if (points.some(({ cations, anions }) => cations !== undefined || anions !== undefined)) return;
  const { name, absent } = points[0];
  throw new IonbookError(
    "nothing-to-draw",
    `no water has a place in a Piper diagram: "${name}" lacks ${absent.join(", ")}. Either triangle needs its three: calcium, magnesium, sodium; hydrogencarbonate or alkalinity, sulfate, chloride`,
  );
}

function pointOf({ water, group }: GroupedWater, charge: GroupedCharge, level: number): PiperPoint {
  const [calcium, magnesium, sodium, hydrogencarbonate, sulfate, chloride] = charge.groups;
  return named(water, () => {
    const cationParts = percentages([calcium, magnesium, sodium]);
    const anionParts = percentages([hydrogencarbonate, sulfate, chloride]);
    const cations = cationParts && placeOf("cations", cationParts, level);
    const anions = anionParts && placeOf("anions", anionParts, level);
    return {
      name: water.name,
      group,
      cationPercent: cationParts && {
        calcium: cationParts.values[0],
        magnesium: cationParts.values[1],
        sodiumPotassium: cationParts.values[2],
      },
      anionPercent: anionParts && {
        hydrogencarbonate: anionParts.values[0],
        sulfate: anionParts.values[1],
        chloride: anionParts.values[2],
      },
      cations: cations?.place,
      anions: anions?.place,
      diamond: cations && anions && diamondPlace(cations, anions, level),
      type: cationParts && anionParts && `${cationParts.leading ?? "mixed"}–${anionParts.leading ?? "mixed"}`,
      bounds: charge.groups.flatMap(({ bounds }) => bounds),
      absent: charge.groups.flatMap(({ absent }) => absent),
    };
  });
}

function describe(diagram: PiperDiagram): string {
  const lines = diagram.points.map(({ name, group, type, cations, anions, diamond, absent }) => {
    const places = Object.entries({ cations, anions, diamond }).flatMap(([field, place]) =>
      place === undefined ? [] : [placeText(field, place)],
    );
    const where = places.length === 0 ? "no place" : places.join(", ");
    const missing = absent.length > 0 ? `; not measured: ${absent.join(", ")}` : "";
    return `${name}${group === "" ? "" : ` [${group}]`}: ${type ?? "incomplete"}, ${where}${missing}`;
  });
  return [headline(diagram), ...lines, ...diagram.notes].join("\n");
}

/** What the diagram shows, in one line: how many waters, and of what types. */
function headline({ title, points }: PiperDiagram): string {
  const types = new Map<string, number>();
  for (const { type } of points) if (type !== undefined) types.set(type, (types.get(type) ?? 0) + 1);
  const counted = [...types].sort((a, b) => b[1] - a[1]).map(([type, count]) => `${count} ${type}`);
  const waters = points.length === 1 ? points[0].name : `${points.length} waters`;
  const what = counted.length === 0 ? "" : `; type by charge: ${counted.join(", ")}`;
  return `Piper diagram of ${title === "" ? waters : `${title}, ${waters}`}${what}`;
}

function placeText(field: string, { x, y, open }: PiperPlace): string {
  return `${field} (${x.value.toFixed(1)}, ${y.value.toFixed(1)})${open ? " at a bound" : ""}`;
}

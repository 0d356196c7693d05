import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { type BoundedFigure, boundedFigure, boundedText, isBetween, type Term } from "./bounded.js";
import { type BoundedConcentrations, readFigureInput, requireAmount } from "./figure-input.js";
import { type FigureDefinition, figureDefinitions } from "./figure-models.js";
import { FIGURE_RANGES, type FigureRange } from "./figure-ranges.js";
import { type SeaSalt, seaSalt } from "./sea-salt.js";
import { SEA_WATER, type SeaWater } from "./sea-water.js";

export interface WaterFigureOptions {
  /** mg/L as CaCO3; default from hydrogencarbonate and carbonate. */
  readonly alkalinity?: number | MeasuredValue;
  /** mg/L as SiO2; counts among the dissolved solids. */
  readonly silica?: number | MeasuredValue;
  /** Weighed, mg/L. */
  readonly dissolvedSolids?: number | MeasuredValue;
  /** Measured, µS/cm at 25 °C. */
  readonly conductivity?: number | MeasuredValue;
  /** What of the alkalinity as CaCO3 stays as carbonate when a water is dried; default 0.6. Some plans use 0.61. */
  readonly alkalinityFactor?: number;
  /** The ion taken to come with sea salt alone; default "sodium". */
  readonly seaReference?: string;
  /** Default `SEA_WATER`. */
  readonly seaWater?: SeaWater;
  /** Default `FIGURE_RANGES`. */
  readonly ranges?: readonly FigureRange[];
}

/** What a figure is held against, and whether it lies there. */
export interface JudgedRange extends FigureRange {
  /** Undefined for a single typical number, and where bounds leave it open. */
  readonly inside: boolean | undefined;
}

/** One figure of a water: a number, or bounds where a term lies below a limit. */
export interface WaterFigure extends BoundedFigure {
  readonly name: string;
  readonly formula: string;
  readonly unit: string;
  readonly ranges: readonly JudgedRange[];
}

export interface WaterFigures {
  readonly kind: "water-figures";
  readonly figures: readonly WaterFigure[];
  /** Undefined where the reference ion was not determined. */
  readonly seaSalt: SeaSalt | undefined;
  /** "no-alkalinity": the dissolved solids lack it and are too low. */
  readonly flags: readonly string[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const KNOWN: Readonly<Record<keyof WaterFigureOptions, true>> = {
  alkalinity: true,
  silica: true,
  dissolvedSolids: true,
  conductivity: true,
  alkalinityFactor: true,
  seaReference: true,
  seaWater: true,
  ranges: true,
};
const SOLIDS = "computed dissolved solids";
/** Counted with the alkalinity, or not solid when dried. */
const NOT_SOLID = new Set(["hydrogencarbonate", "carbonate", "hydrogen", "hydroxide"]);

/**
 * What the ions of a water say together: computed dissolved solids beside weighed ones and beside the conductivity, hardness,
 * sodium adsorption ratio, ratios of ions (Na/Cl, Cl/Br, NO3/Cl, Ca/SO4, (Ca + Mg)/HCO3), and what of each ion does not come
 * with sea salt. All with uncertainty, correlations kept; a figure with a term below a limit is given as a bound.
 *
 *     solids = Σ ions + SiO2 + 0.6·alkalinity (mg/L, alkalinity as CaCO3)
 *     hardness = 2.497·Ca + 4.118·Mg (mg/L as CaCO3)      SAR = Na/√((Ca + Mg)/2) (meq/L)
 *     nss-X = X − (X/R)_sea·R (mg/L)                       EF = (X/R)/(X/R)_sea
 *
 * A figure whose ions were not determined is left out. Ranges of origin are what such waters were found to have, no proof of
 * an origin; sodium and magnesium as the reference of sea salt differed by 11 % at one island.
 *
 * @param concentrations mg/L by ion; `{ below: 0.05 }` for what was found below a limit
 * @throws IonbookError as `chargeBalance`; "bad-limit", "bad-sea-water", "bad-option", "unknown-option"
 * @source Standard Methods for the Examination of Water and Wastewater, 1030 E and 2340 B (from memory); `FIGURE_RANGES`, `SEA_WATER`
 */
export function waterFigures(
  concentrations: BoundedConcentrations,
  options: WaterFigureOptions = {},
): WaterFigures {
  requireKnownOptions(options, KNOWN, "waterFigures");
  const { seaReference = "sodium", seaWater = SEA_WATER, ranges = FIGURE_RANGES } = options;
  requireRanges(ranges);
  const { terms, alkalinity } = readFigureInput(concentrations, options.alkalinity);
  const all = { ...terms, ...(alkalinity && { alkalinity }) };
  const definitions = [...solidsDefinitions(all, options), ...figureDefinitions()];
  const known = { ...all, ...measuredOptions(options) };
  const result: WaterFigures = {
    kind: "water-figures",
    figures: definitions.flatMap((definition) => figureOf(definition, known, ranges) ?? []),
    seaSalt: seaSalt(terms, seaReference, seaWater),
    flags: alkalinity === undefined ? ["no-alkalinity"] : [],
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

/** Terms that are no ions, under names that no ion has. */
function measuredOptions(options: WaterFigureOptions): Readonly<Record<string, Term>> {
  const { silica, dissolvedSolids, conductivity } = options;
  return {
    ...(silica !== undefined && { silica: requireAmount(silica, "the silica") }),
    ...(dissolvedSolids !== undefined && {
      dissolvedSolids: requireAmount(dissolvedSolids, "the weighed dissolved solids"),
    }),
    ...(conductivity !== undefined && {
      conductivity: requireAmount(conductivity, "the conductivity", "µS/cm"),
    }),
  };
}

function solidsDefinitions(
  all: Readonly<Record<string, Term>>,
  options: WaterFigureOptions,
): readonly FigureDefinition[] {
  const { alkalinityFactor = 0.6, silica } = options;
  if (!(alkalinityFactor > 0 && alkalinityFactor < 2)) {
    throw new IonbookError("bad-option", `alkalinityFactor is ${String(alkalinityFactor)}; it lies near 0.6`);
  }
  const solid = [...Object.keys(all), ...(silica === undefined ? [] : ["silica"])].filter(
    (name) => !NOT_SOLID.has(name),
  );
  if (solid.length === 0) return [];
  const sum = (x: Readonly<Record<string, number>>): number =>
    solid.reduce((total, name) => total + (name === "alkalinity" ? alkalinityFactor : 1) * x[name], 0);
  return [
    {
      name: SOLIDS,
      formula: `Σ ions + SiO2 + ${alkalinityFactor}·alkalinity as CaCO3`,
      unit: "mg/L",
      needs: solid,
      falling: [],
      of: sum,
    },
    {
      name: "measured over computed dissolved solids",
      formula: "weighed/computed",
      unit: "1",
      needs: [...solid, "dissolvedSolids"],
      falling: solid,
      of: (x) => x.dissolvedSolids / sum(x),
    },
    {
      name: "computed dissolved solids over conductivity",
      formula: "computed/κ, (mg/L)/(µS/cm)",
      unit: "1",
      needs: [...solid, "conductivity"],
      falling: ["conductivity"],
      of: (x) => sum(x) / x.conductivity,
    },
  ];
}

function figureOf(
  definition: FigureDefinition,
  known: Readonly<Record<string, Term>>,
  ranges: readonly FigureRange[],
): WaterFigure | undefined {
  if (!definition.needs.every((name) => name in known)) return undefined;
  const terms = Object.fromEntries(definition.needs.map((name) => [name, known[name]]));
  const figure = boundedFigure(definition, terms);
  if (figure === undefined) return undefined;
  const { name, formula, unit } = definition;
  const judged = ranges
    .filter((range) => range.figure === name)
    .map((range) => {
      const typical = range.low === range.high;
      return { ...range, inside: typical ? undefined : isBetween(figure, range.low, range.high) };
    });
  return { name, formula, unit, ...figure, ranges: judged };
}

function requireRanges(ranges: unknown): void {
  const isRange = (range: unknown): boolean => {
    const { low, high, figure } = Object(range) as Partial<FigureRange>;
    return typeof low === "number" && typeof high === "number" && low <= high && typeof figure === "string";
  };
  if (Array.isArray(ranges) && ranges.every(isRange)) return;
  throw new IonbookError(
    "bad-option",
    "ranges is a list such as FIGURE_RANGES: { figure, low, high, role, meaning, source }, low not above high",
  );
}

function describe({ figures, seaSalt: sea, flags }: WaterFigures): string {
  const lines = figures.map((figure) => {
    const text = `${figure.name}: ${boundedText(figure, inWords)}`;
    const said = figure.ranges
      .filter(({ inside, role }) => inside === true || (role === "criterion" && inside === false))
      .map(
        ({ inside, low, high, meaning }) => `${inside ? "within" : "outside"} ${low} to ${high}, ${meaning}`,
      );
    return [text, ...said].join("; ");
  });
  if (sea !== undefined && sea.parts.length > 0) {
    lines.push(`beside sea salt by ${sea.reference}:`);
    for (const { ion: name, nonSeaSalt, share } of sea.parts) {
      const part = share === undefined ? "" : ` (${boundedText(share, inWords)})`;
      lines.push(`  ${name} not of sea salt: ${boundedText(nonSeaSalt, inWords)}${part}`);
    }
  }
  if (flags.length > 0) lines.push(`flags: ${flags.join("; ")}`);
  return lines.join("\n");
}

/** A value without uncertainty has no digit to stop at: four significant ones are enough. */
function inWords(value: MeasuredValue): string {
  if (value.u > 0) return String(value);
  const number = String(Number(value.value.toPrecision(4)));
  return value.unit === "1" ? number : `${number} ${value.unit}`;
}

import { ion } from "../../ions/ion-table.js";
import { convert } from "../../ions/units.js";
import type { FigureModel } from "./bounded.js";

/** A named figure of a water and what it is computed from. */
export interface FigureDefinition extends FigureModel {
  readonly name: string;
  /** With units, for print. */
  readonly formula: string;
  /** Ions by name, in mg/L, and "alkalinity" in mg/L as CaCO3; the figure is left out where one is missing. */
  readonly needs: readonly string[];
}

type Numbers = Readonly<Record<string, number>>;

const equivalents = (name: string): number => Math.abs(ion(name).charge) / ion(name).molarMass;
const moles = (name: string): number => 1 / ion(name).molarMass;
const asCalcite = (name: string): number => convert(1, "mg/L", "mg/L as CaCO3", name);
const alkalinityEquivalents = (): number => convert(1, "mg/L as CaCO3", "meq/L", "hydrogencarbonate");

/** The figures that every water can have; those of sea salt depend on the reference ion. */
export function figureDefinitions(): readonly FigureDefinition[] {
  return [
    {
      name: "hardness",
      formula: "2.497·Ca + 4.118·Mg, as CaCO3",
      unit: "mg/L",
      needs: ["calcium", "magnesium"],
      falling: [],
      of: ({ calcium, magnesium }) => asCalcite("calcium") * calcium + asCalcite("magnesium") * magnesium,
    },
    {
      name: "sodium adsorption ratio",
      formula: "Na/√((Ca + Mg)/2), meq/L",
      unit: "1",
      needs: ["sodium", "calcium", "magnesium"],
      falling: ["calcium", "magnesium"],
      of: ({ sodium, calcium, magnesium }) =>
        (equivalents("sodium") * sodium) /
        Math.sqrt((equivalents("calcium") * calcium + equivalents("magnesium") * magnesium) / 2),
    },
    ratio("Na/Cl, molar", "sodium", "chloride", moles),
    ratio("Cl/Br by mass", "chloride", "bromide", () => 1),
    ratio("Cl/Br, molar", "chloride", "bromide", moles),
    ratio("NO3/Cl, equivalents", "nitrate", "chloride", equivalents),
    ratio("Ca/SO4, equivalents", "calcium", "sulfate", equivalents),
    {
      name: "(Ca + Mg)/HCO3, equivalents",
      formula: "(Ca + Mg)/alkalinity, meq/L",
      unit: "1",
      needs: ["calcium", "magnesium", "alkalinity"],
      falling: ["alkalinity"],
      of: ({ calcium, magnesium, alkalinity }) =>
        (equivalents("calcium") * calcium + equivalents("magnesium") * magnesium) /
        (alkalinityEquivalents() * alkalinity),
    },
  ];
}

function ratio(
  name: string,
  above: string,
  under: string,
  weight: (name: string) => number,
): FigureDefinition {
  const factor = weight(above) / weight(under);
  return {
    name,
    formula: name,
    unit: "1",
    needs: [above, under],
    falling: [under],
    of: (terms: Numbers) => (factor * terms[above]) / terms[under],
  };
}

import { measured } from "../../../toolkit/uncertainty/measured.js";
import type { NamedWater } from "../../../toolkit/water/diagrams/named-water.js";

/**
 * The worked example of the handbook of this project, chapter on balances, paragraphs 2 and 8 (computed there from the
 * formulas): charges in meq/L Ca 3.094, Mg 1.152, Na 1.0004, K .0793; Cl .8744, NO3 .2903, SO4 .8745, alkalinity 3.200. Its
 * percentages leave fluoride out, so it is left out here.
 */
export const EXAMPLE: NamedWater = {
  name: "example",
  concentrations: {
    calcium: 62.0,
    magnesium: 14.0,
    sodium: 23.0,
    potassium: 3.1,
    ammonium: 0.05,
    chloride: 31.0,
    nitrate: 18.0,
    sulfate: 42.0,
  },
  alkalinity: 3.2 * 50.043,
  pH: 7.6,
};

export function uncertain(water: NamedWater, relative: number): NamedWater {
  const concentrations = Object.fromEntries(
    Object.entries(water.concentrations).map(([ion, value]) => [
      ion,
      typeof value === "number" ? measured(value, "mg/L", { u: relative * value }) : value,
    ]),
  );
  return { ...water, concentrations };
}

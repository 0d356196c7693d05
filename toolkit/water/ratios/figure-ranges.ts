/** What a figure is held against, as data: edit or replace the list in the option `ranges`. */
export interface FigureRange {
  /** Name of the figure. */
  readonly figure: string;
  readonly low: number;
  /** The same as `low` for a single number that is typical. */
  readonly high: number;
  /** "criterion": outside, something is wrong with the analysis; "origin": waters of this kind have such a value. */
  readonly role: "criterion" | "origin";
  readonly meaning: string;
  readonly source: string;
}

const MEMORY = "from memory";
const BROMIDE =
  "S.N. Davis, D.O. Whittemore and J. Fabryka-Martin, Ground Water 36 (1998) 338 (abstract read)";
const COMMON = "common practice, no source";

export const FIGURE_RANGES: readonly FigureRange[] = [
  {
    figure: "measured over computed dissolved solids",
    low: 1,
    high: 1.2,
    role: "criterion",
    meaning: "an analysis that is complete",
    source: "Standard Methods for the Examination of Water and Wastewater, 1030 E (from memory)",
  },
  {
    figure: "computed dissolved solids over conductivity",
    low: 0.55,
    high: 0.7,
    role: "criterion",
    meaning: "an analysis that fits its conductivity",
    source: "criteria for correct analyses (read)",
  },
  origin("Cl/Br by mass", 288, 292, "sea water", MEMORY),
  origin("Cl/Br by mass", 50, 150, "precipitation", BROMIDE),
  origin("Cl/Br by mass", 100, 200, "shallow groundwater", BROMIDE),
  origin("Cl/Br by mass", 300, 600, "domestic sewage", BROMIDE),
  origin("Cl/Br by mass", 1000, 10000, "dissolved halite", BROMIDE),
  origin("Cl/Br by mass", 10, 100, "urban runoff in summer", BROMIDE),
  origin("Cl/Br, molar", 651, 659, "sea water", "655 ± 4 (read)"),
  origin("Na/Cl, molar", 0.86, 0.86, "sea water", COMMON),
  origin("Na/Cl, molar", 1, 1, "dissolved halite", COMMON),
  origin("(Ca + Mg)/HCO3, equivalents", 1, 1, "dissolved carbonate rock", COMMON),
  origin("Ca/SO4, equivalents", 1, 1, "dissolved gypsum", COMMON),
];

function origin(figure: string, low: number, high: number, meaning: string, source: string): FigureRange {
  return { figure, low, high, role: "origin", meaning, source };
}

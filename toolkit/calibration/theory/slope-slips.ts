import { molarMassOf, parseFormula } from "../../ions/formula.js";
import { ion } from "../../ions/ion-table.js";

/** A slip of a standard and the factor by which it makes a slope wrong. */
export interface Slip {
  readonly meaning: string;
  /** Slope over what theory gives. */
  readonly ratio: number;
}

/** Ions that laboratories state as an element. */
const AS_ELEMENT: Readonly<Record<string, string>> = {
  nitrate: "N",
  nitrite: "N",
  ammonium: "N",
  phosphate: "P",
  sulfate: "S",
};
/** Salts that standards are weighed from: formula and ions of the kind in it (common practice, no source). */
const SALTS: Readonly<Record<string, readonly (readonly [formula: string, count: number])[]>> = {
  fluoride: [["NaF", 1]],
  chloride: [
    ["NaCl", 1],
    ["KCl", 1],
  ],
  bromide: [
    ["KBr", 1],
    ["NaBr", 1],
  ],
  iodide: [["KI", 1]],
  nitrite: [["NaNO2", 1]],
  nitrate: [
    ["NaNO3", 1],
    ["KNO3", 1],
  ],
  sulfate: [
    ["K2SO4", 1],
    ["Na2SO4", 1],
  ],
  phosphate: [["KH2PO4", 1]],
  chlorate: [["NaClO3", 1]],
  bromate: [["KBrO3", 1]],
  chlorite: [["NaClO2", 1]],
  lithium: [["LiCl", 1]],
  sodium: [["NaCl", 1]],
  ammonium: [["NH4Cl", 1]],
  potassium: [["KCl", 1]],
  magnesium: [["MgCl2", 1]],
  calcium: [
    ["CaCO3", 1],
    ["CaCl2", 1],
  ],
};

/**
 * The usual slips with standards of one ion: element for ion, salt for ion, amount for mass, charge, dilution; each both
 * ways.
 *
 * @source molar masses: IUPAC 2021 abridged standard atomic weights
 */
export function slipsOf(name: string): readonly Slip[] {
  const { molarMass, charge, formula } = ion(name);
  const slips: Slip[] = [];
  const element = AS_ELEMENT[name];
  if (element !== undefined) {
    const factor = molarMass / molarMassOf(parseFormula(element).elements);
    slips.push({ meaning: `entered as ${element}, not as ${formula}`, ratio: factor });
    slips.push({
      meaning: `stated as ${formula}, yet converted as if it were ${element}`,
      ratio: 1 / factor,
    });
  }
  for (const [salt, count] of SALTS[name] ?? []) {
    const factor = molarMassOf(parseFormula(salt).elements) / (count * molarMass);
    slips.push({ meaning: `mass of ${salt} entered as mass of ${formula}`, ratio: 1 / factor });
    slips.push({ meaning: `converted from ${salt} to ${formula} twice`, ratio: factor });
  }
  slips.push({ meaning: "mmol/L entered as mg/L", ratio: molarMass });
  slips.push({ meaning: "mg/L entered as mmol/L", ratio: 1 / molarMass });
  const two =
    Math.abs(charge) === 2 ? "factor 2: charge (meq for mmol) or dilution" : "factor 2 in a dilution";
  for (const ratio of [2, 0.5]) slips.push({ meaning: two, ratio });
  for (const factor of [10, 100]) {
    for (const ratio of [factor, 1 / factor])
      slips.push({ meaning: `factor ${factor} in a dilution`, ratio });
  }
  return slips;
}

import { IonbookError } from "../errors.js";
import { countAtoms, molarMassOf, plainFormula } from "../ions/formula.js";
import { ion } from "../ions/ion-table.js";
import { nearestNames } from "../ions/nearest-names.js";
import { analyteOf } from "./analyte.js";

/** A solid that standards are weighed from. */
export interface Salt {
  /** As on the bottle: "CaCl2·2H2O". */
  readonly formula: string;
  /** Ions that one formula unit brings into solution, by name. */
  readonly ions: Readonly<Record<string, number>>;
  /** g/mol, with its water. */
  readonly molarMass: number;
  /** What to do before weighing. */
  readonly drying: string;
  /** What it has to be dissolved in, where water is not enough. */
  readonly dissolving?: string;
}

const OVEN = "dry 2 h at 105 °C and let cool in the desiccator";
const DESICCATOR = "keep over drying agent for a night; do not heat";
const AS_IS = "weigh as it is: the crystal water is counted; take an unopened or well closed bottle";
const BARE = "remove the oxide from the surface, rinse, dry";

type Entry = readonly [
  formula: string,
  ions: Readonly<Record<string, number>>,
  drying: string,
  dissolving?: string,
];

/**
 * Salts and metals of the trade. Atoms and charges of formula and ions agree but for water, the carbon dioxide that an
 * acid drives out, and metals.
 *
 * @source drying: common practice, no source; nitrite is not heated: common practice, no source
 */
const ENTRIES: readonly Entry[] = [
  ["NaF", { sodium: 1, fluoride: 1 }, OVEN],
  ["NaCl", { sodium: 1, chloride: 1 }, OVEN],
  ["KCl", { potassium: 1, chloride: 1 }, OVEN],
  ["NaBr", { sodium: 1, bromide: 1 }, OVEN],
  ["KBr", { potassium: 1, bromide: 1 }, OVEN],
  ["NaI", { sodium: 1, iodide: 1 }, DESICCATOR],
  ["KI", { potassium: 1, iodide: 1 }, DESICCATOR],
  ["NaNO2", { sodium: 1, nitrite: 1 }, DESICCATOR],
  ["KNO2", { potassium: 1, nitrite: 1 }, DESICCATOR],
  ["NaNO3", { sodium: 1, nitrate: 1 }, OVEN],
  ["KNO3", { potassium: 1, nitrate: 1 }, OVEN],
  ["Na2SO4", { sodium: 2, sulfate: 1 }, OVEN],
  ["K2SO4", { potassium: 2, sulfate: 1 }, OVEN],
  ["KH2PO4", { potassium: 1, dihydrogenphosphate: 1 }, OVEN],
  ["K2HPO4", { potassium: 2, hydrogenphosphate: 1 }, OVEN],
  ["Na2HPO4", { sodium: 2, hydrogenphosphate: 1 }, OVEN],
  ["NaH2PO4", { sodium: 1, dihydrogenphosphate: 1 }, OVEN],
  ["NaClO2", { sodium: 1, chlorite: 1 }, DESICCATOR],
  ["NaClO3", { sodium: 1, chlorate: 1 }, DESICCATOR],
  ["KClO3", { potassium: 1, chlorate: 1 }, DESICCATOR],
  ["NaClO4", { sodium: 1, perchlorate: 1 }, DESICCATOR],
  ["KClO4", { potassium: 1, perchlorate: 1 }, DESICCATOR],
  ["NaBrO3", { sodium: 1, bromate: 1 }, DESICCATOR],
  ["KBrO3", { potassium: 1, bromate: 1 }, DESICCATOR],
  ["KIO3", { potassium: 1, iodate: 1 }, DESICCATOR],
  ["KMnO4", { potassium: 1, permanganate: 1 }, DESICCATOR],
  ["K2CrO4", { potassium: 2, chromate: 1 }, DESICCATOR],
  ["Na2SO3", { sodium: 2, sulfite: 1 }, DESICCATOR],
  ["Na2S2O3·5H2O", { sodium: 2, thiosulfate: 1 }, AS_IS],
  ["KSCN", { potassium: 1, thiocyanate: 1 }, DESICCATOR],
  ["KCN", { potassium: 1, cyanide: 1 }, DESICCATOR],
  ["NaN3", { sodium: 1, azide: 1 }, DESICCATOR],
  ["Na2CO3", { sodium: 2, carbonate: 1 }, OVEN],
  ["NaHCO3", { sodium: 1, hydrogencarbonate: 1 }, DESICCATOR],
  ["NaOH", { sodium: 1, hydroxide: 1 }, DESICCATOR],
  ["HCOONa", { sodium: 1, formate: 1 }, OVEN],
  ["CH3COONa", { sodium: 1, acetate: 1 }, OVEN],
  ["Na2C2O4", { sodium: 2, oxalate: 1 }, OVEN],
  ["LiCl", { lithium: 1, chloride: 1 }, OVEN],
  ["LiNO3", { lithium: 1, nitrate: 1 }, OVEN],
  ["NH4Cl", { ammonium: 1, chloride: 1 }, OVEN],
  ["NH4NO3", { ammonium: 1, nitrate: 1 }, DESICCATOR],
  ["(NH4)2SO4", { ammonium: 2, sulfate: 1 }, OVEN],
  ["MgCl2·6H2O", { magnesium: 1, chloride: 2 }, AS_IS],
  ["Mg(NO3)2·6H2O", { magnesium: 1, nitrate: 2 }, AS_IS],
  ["MgSO4·7H2O", { magnesium: 1, sulfate: 1 }, AS_IS],
  ["CaCl2·2H2O", { calcium: 1, chloride: 2 }, AS_IS],
  ["Ca(NO3)2·4H2O", { calcium: 1, nitrate: 2 }, AS_IS],
  ["CaCO3", { calcium: 1 }, OVEN, "dilute acid, in drops, until it no longer foams"],
  ["SrCl2·6H2O", { strontium: 1, chloride: 2 }, AS_IS],
  ["Sr(NO3)2", { strontium: 1, nitrate: 2 }, OVEN],
  ["BaCl2·2H2O", { barium: 1, chloride: 2 }, AS_IS],
  ["Ba(NO3)2", { barium: 1, nitrate: 2 }, OVEN],
  ["AgNO3", { silver: 1, nitrate: 1 }, DESICCATOR],
  ["Pb(NO3)2", { "lead(II)": 1, nitrate: 2 }, OVEN],
  ["Cd", { cadmium: 1 }, BARE, "dilute nitric acid"],
  ["Zn", { zinc: 1 }, BARE, "dilute nitric acid"],
  ["Cu", { "copper(II)": 1 }, BARE, "dilute nitric acid"],
];

const SALTS: ReadonlyMap<string, Entry> = new Map(ENTRIES.map((entry) => [key(entry[0]), entry]));

/** All salts of the table. */
export function allSalts(): readonly Salt[] {
  return ENTRIES.map(built);
}

/**
 * The salt of a formula; crystal water behind "·", "*" or ".".
 *
 * @throws IonbookError "unknown-salt" with the nearest formulas
 */
export function salt(formula: string): Salt {
  const entry = typeof formula === "string" ? SALTS.get(key(formula)) : undefined;
  if (entry) return built(entry);
  const near = nearestNames(
    String(formula),
    ENTRIES.map(([known]) => known),
  );
  throw new IonbookError(
    "unknown-salt",
    `There is no salt "${String(formula)}" in the table${near.length > 0 ? `; nearest are ${near.join(", ")}` : ""}. Crystal water counts: write "CaCl2·2H2O". For another solid give { formula, ions: { sodium: 1, … } }`,
  );
}

/** A solid that is not in the table, from its formula and the ions it brings. */
export interface OwnSalt {
  readonly formula: string;
  readonly ions: Readonly<Record<string, number>>;
  readonly drying?: string;
}

/**
 * @throws IonbookError "unknown-salt", "unknown-ion", "bad-formula"; "salt-not-neutral" where the ions' charges do not
 *   add up to zero and the solid is no element
 */
export function saltOf(given: string | OwnSalt): Salt {
  if (typeof given === "string") return salt(given);
  const { formula, ions: brought } = given ?? {};
  if (typeof formula !== "string" || typeof brought !== "object" || brought === null) {
    throw new IonbookError(
      "unknown-salt",
      'A salt is a formula, "NaCl", or a solid of one\'s own: { formula: "NaCl", ions: { sodium: 1, chloride: 1 } }',
    );
  }
  const molarMass = molarMassOfSalt(given.formula);
  const ions: Record<string, number> = {};
  let charge = 0;
  for (const [name, count] of Object.entries(given.ions)) {
    if (!(count > 0 && Number.isFinite(count))) {
      throw new IonbookError(
        "bad-formula",
        `${given.formula} cannot bring ${count} ${name}: give a count above 0`,
      );
    }
    const { name: known, charge: own } = ion(name);
    ions[known] = count;
    charge += own * count;
  }
  if (Math.abs(charge) > 1e-9 && Object.keys(ions).length > 1) {
    throw new IonbookError(
      "salt-not-neutral",
      `The ions of ${given.formula} carry ${charge} charges in all: their counts must leave none`,
    );
  }
  return { formula: given.formula, ions, molarMass, drying: given.drying ?? "dry as its certificate says" };
}

/** Ions in one formula unit under the names by which a separation counts them. */
export function compositionOf(solid: Salt): ReadonlyMap<string, number> {
  return new Map(Object.entries(solid.ions).map(([name, count]) => [analyteOf(name), count]));
}

/** g/mol of a formula with crystal water. */
export function molarMassOfSalt(formula: string): number {
  return molarMassOf(atomsOfSalt(formula));
}

/** Atoms of a formula with crystal water: "CaCl2·2H2O" holds 4 H. */
export function atomsOfSalt(formula: string): Readonly<Record<string, number>> {
  const atoms: Record<string, number> = {};
  for (const part of key(formula).split("·")) {
    const [, times, body] = /^(\d*)(.*)$/.exec(part) as RegExpExecArray;
    const counted = countAtoms(body);
    if (!counted) {
      throw new IonbookError("bad-formula", `"${formula}" is no formula of a salt, as in "CaCl2·2H2O"`);
    }
    for (const [symbol, count] of Object.entries(counted)) {
      atoms[symbol] = (atoms[symbol] ?? 0) + count * (times === "" ? 1 : Number(times));
    }
  }
  return atoms;
}

function built([formula, ions, drying, dissolving]: Entry): Salt {
  const molarMass = molarMassOfSalt(formula);
  return { formula, ions, molarMass, drying, ...(dissolving !== undefined && { dissolving }) };
}

function key(formula: string): string {
  return plainFormula(formula.replaceAll(/\s/g, "")).replaceAll(/[*.•⋅]/g, "·");
}

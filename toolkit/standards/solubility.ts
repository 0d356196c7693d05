import { IonbookError } from "../errors.js";
import { ion } from "../ions/ion-table.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { cappedActivityCoefficient } from "../water/speciation/activity.js";
import { analyteOf } from "./analyte.js";

/** A sparingly soluble salt: what it consists of and its solubility product at 25 °C, in mol/L. */
export interface SparinglySoluble {
  readonly formula: string;
  readonly cation: string;
  readonly anion: string;
  /** Ions of either kind in one formula unit. */
  readonly counts: readonly [cations: number, anions: number];
  readonly solubilityProduct: number;
  /** Where the constant is from, "from memory" where nobody has checked it. */
  readonly source: string;
}

type Row = readonly [
  formula: string,
  cation: string,
  cations: number,
  anion: string,
  anions: number,
  solubilityProduct: number,
];

/**
 * Phosphates stand with their least soluble salt of the form that a standard holds; for phosphate and carbonate the
 * whole content is counted as the ion that precipitates, which errs towards refusing.
 *
 * @source CRC Handbook of Chemistry and Physics, "Solubility product constants", 25 °C (from memory)
 */
const ROWS: readonly Row[] = [
  ["BaSO4", "barium", 1, "sulfate", 1, 1.08e-10],
  ["SrSO4", "strontium", 1, "sulfate", 1, 3.44e-7],
  ["CaSO4·2H2O", "calcium", 1, "sulfate", 1, 3.14e-5],
  ["PbSO4", "lead(II)", 1, "sulfate", 1, 2.53e-8],
  ["Ag2SO4", "silver", 2, "sulfate", 1, 1.2e-5],
  ["CaF2", "calcium", 1, "fluoride", 2, 3.45e-11],
  ["MgF2", "magnesium", 1, "fluoride", 2, 5.16e-11],
  ["SrF2", "strontium", 1, "fluoride", 2, 4.33e-9],
  ["BaF2", "barium", 1, "fluoride", 2, 1.84e-7],
  ["PbF2", "lead(II)", 1, "fluoride", 2, 3.3e-8],
  ["LiF", "lithium", 1, "fluoride", 1, 1.84e-3],
  ["AgCl", "silver", 1, "chloride", 1, 1.77e-10],
  ["AgBr", "silver", 1, "bromide", 1, 5.35e-13],
  ["AgI", "silver", 1, "iodide", 1, 8.52e-17],
  ["AgSCN", "silver", 1, "thiocyanate", 1, 1.03e-12],
  ["AgCN", "silver", 1, "cyanide", 1, 5.97e-17],
  ["AgBrO3", "silver", 1, "bromate", 1, 5.38e-5],
  ["AgIO3", "silver", 1, "iodate", 1, 3.17e-8],
  ["AgNO2", "silver", 1, "nitrite", 1, 6.0e-4],
  ["Ag3PO4", "silver", 3, "phosphate", 1, 8.89e-17],
  ["Ag2CO3", "silver", 2, "carbonate", 1, 8.46e-12],
  ["Ag2CrO4", "silver", 2, "chromate", 1, 1.12e-12],
  ["Ag2C2O4", "silver", 2, "oxalate", 1, 5.4e-12],
  ["PbCl2", "lead(II)", 1, "chloride", 2, 1.7e-5],
  ["PbBr2", "lead(II)", 1, "bromide", 2, 6.6e-6],
  ["PbI2", "lead(II)", 1, "iodide", 2, 9.8e-9],
  ["PbCO3", "lead(II)", 1, "carbonate", 1, 7.4e-14],
  ["TlCl", "thallium(I)", 1, "chloride", 1, 1.86e-4],
  ["CaCO3", "calcium", 1, "carbonate", 1, 3.36e-9],
  ["SrCO3", "strontium", 1, "carbonate", 1, 5.6e-10],
  ["BaCO3", "barium", 1, "carbonate", 1, 2.58e-9],
  ["MgCO3", "magnesium", 1, "carbonate", 1, 6.82e-6],
  ["Li2CO3", "lithium", 2, "carbonate", 1, 8.15e-4],
  ["CdCO3", "cadmium", 1, "carbonate", 1, 1.0e-12],
  ["ZnCO3", "zinc", 1, "carbonate", 1, 1.46e-10],
  ["CaHPO4·2H2O", "calcium", 1, "phosphate", 1, 2.6e-7],
  ["BaHPO4", "barium", 1, "phosphate", 1, 1.7e-7],
  ["Pb3(PO4)2", "lead(II)", 3, "phosphate", 2, 8.0e-43],
  ["CaC2O4·H2O", "calcium", 1, "oxalate", 1, 2.32e-9],
  ["BaC2O4", "barium", 1, "oxalate", 1, 1.6e-7],
  ["SrC2O4", "strontium", 1, "oxalate", 1, 5.0e-8],
  ["MgC2O4·2H2O", "magnesium", 1, "oxalate", 1, 4.83e-6],
  ["BaCrO4", "barium", 1, "chromate", 1, 1.17e-10],
  ["Ca(IO3)2", "calcium", 1, "iodate", 2, 6.47e-6],
  ["Ba(IO3)2", "barium", 1, "iodate", 2, 4.01e-9],
  ["KClO4", "potassium", 1, "perchlorate", 1, 1.05e-2],
  ["Mg(OH)2", "magnesium", 1, "hydroxide", 2, 5.61e-12],
  ["Ca(OH)2", "calcium", 1, "hydroxide", 2, 5.02e-6],
];

/** Where the table's constants are from, and how far they can be trusted. */
export const SOLUBILITY_SOURCE =
  "CRC Handbook of Chemistry and Physics, solubility product constants, 25 °C, from memory, unchecked";
const CALCITE_SOURCE = `${SOLUBILITY_SOURCE.replace(", unchecked", "")}, within 0.02 in the logarithm of L. N. Plummer and E. Busenberg 1982`;

/** All rows of the table. */
export const SPARINGLY_SOLUBLE: readonly SparinglySoluble[] = ROWS.map(
  ([formula, cation, cations, anion, anions, solubilityProduct]) => ({
    formula,
    cation,
    anion,
    counts: [cations, anions],
    solubilityProduct,
    source: formula === "CaCO3" ? CALCITE_SOURCE : SOLUBILITY_SOURCE,
  }),
);

/** A solubility product of one's own: for a salt of the table by its formula, for another with its ions too. */
export interface OwnSolubility {
  /** As in the table: "BaSO4", "CaSO4·2H2O". */
  readonly formula: string;
  /** At the temperature of the room, in mol/L to the number of ions. */
  readonly solubilityProduct: number;
  readonly source: string;
  readonly cation?: string;
  readonly anion?: string;
  /** Ions of either kind in one formula unit. */
  readonly counts?: readonly [cations: number, anions: number];
}

/**
 * The table with one's own constants in place of its own, or beside them.
 *
 * @throws IonbookError "bad-option", "unknown-option", "unknown-ion", "unknown-salt" for a formula that is not in the table
 *   and comes without its ions
 */
export function solubilityTable(own: readonly OwnSolubility[] | undefined): readonly SparinglySoluble[] {
  if (own === undefined) return SPARINGLY_SOLUBLE;
  if (!Array.isArray(own)) {
    throw new IonbookError(
      "bad-option",
      'solubility is a list: { solubility: [{ formula: "BaSO4", solubilityProduct: 1.1e-10, source: "…" }] }',
    );
  }
  const table = new Map(SPARINGLY_SOLUBLE.map((each) => [each.formula, each]));
  for (const each of own as readonly OwnSolubility[]) {
    const read = readOwn(each, table);
    table.set(read.formula, read);
  }
  return [...table.values()];
}

const KNOWN = {
  formula: true,
  solubilityProduct: true,
  source: true,
  cation: true,
  anion: true,
  counts: true,
} as const;

function readOwn(given: OwnSolubility, table: ReadonlyMap<string, SparinglySoluble>): SparinglySoluble {
  requireKnownOptions(given, KNOWN, "solubility");
  const { formula, solubilityProduct, source } = given;
  const named = typeof formula === "string" && formula !== "" && typeof source === "string" && source !== "";
  if (!named || !(solubilityProduct > 0 && solubilityProduct < Infinity)) {
    throw new IonbookError(
      "bad-option",
      `The solubility product of ${String(formula)} is ${String(solubilityProduct)} from ${String(source)}: give a formula, a number above 0 and its source`,
    );
  }
  const known = table.get(formula);
  const { cation = known?.cation, anion = known?.anion, counts = known?.counts } = given;
  if (cation === undefined || anion === undefined || counts === undefined) {
    throw new IonbookError(
      "unknown-salt",
      `${formula} is not among the sparingly soluble salts of the table: give its cation, anion and counts too, as in { cation: "barium", anion: "sulfate", counts: [1, 1] }`,
    );
  }
  const whole =
    Array.isArray(counts) && counts.length === 2 && counts.every((n) => Number.isInteger(n) && n > 0);
  const [positive, negative] = [ion(cation), ion(anion)];
  if (!whole || !(positive.charge > 0 && negative.charge < 0)) {
    throw new IonbookError(
      "bad-option",
      `${formula} is to be ${String(counts)} of ${cation} and ${anion}: give a cation, an anion and how many of either are in one formula unit`,
    );
  }
  return {
    formula,
    cation: positive.name,
    anion: analyteOf(negative.name),
    counts,
    solubilityProduct,
    source,
  };
}

/** How often a solution holds the solubility product of a salt. */
export interface Saturation {
  readonly salt: SparinglySoluble;
  /** Product of activities over solubility product; above 1 the solution is supersaturated. */
  readonly ratio: number;
  /** log₁₀ of the ratio. */
  readonly index: number;
}

/**
 * Every sparingly soluble salt both of whose ions a solution holds, most saturated first.
 *
 *     ratio = (γ₊·[cation])ᵃ·(γ₋·[anion])ᵇ/K_sp,   I = ½·(Σ c·z² + |Σ c·z|)
 *
 * γ by Davies' equation at the ionic strength I of all ions named, held at its value for 0.5 mol/L beyond. What a
 * certificate does not name but neutrality asks for counts as ions of one charge; phosphate and carbonate count with one. No ion pairs are counted, which errs
 * towards refusing.
 *
 * @param molar mol/L by ion
 */
export function saturations(
  molar: ReadonlyMap<string, number>,
  table: readonly SparinglySoluble[] = SPARINGLY_SOLUBLE,
): readonly Saturation[] {
  const strength = ionicStrength(molar);
  const found: Saturation[] = [];
  for (const salt of table) {
    const cation = molar.get(salt.cation) ?? 0;
    const anion = molar.get(salt.anion) ?? 0;
    if (!(cation > 0 && anion > 0)) continue;
    const [a, b] = salt.counts;
    const charge = ion(salt.cation).charge;
    // The anion of a hydrogenphosphate carries what leaves the solid neutral.
    const product =
      (cation * cappedActivityCoefficient(charge, strength)) ** a *
      (anion * cappedActivityCoefficient((charge * a) / b, strength)) ** b;
    const ratio = product / salt.solubilityProduct;
    found.push({ salt, ratio, index: Math.log10(ratio) });
  }
  return found.sort((p, q) => q.ratio - p.ratio);
}

/** Anions that a standard near neutral holds mostly with one charge. */
const SINGLY_CHARGED: ReadonlySet<string> = new Set(["phosphate", "carbonate"]);

function ionicStrength(molar: ReadonlyMap<string, number>): number {
  let [squares, charges] = [0, 0];
  for (const [name, content] of molar) {
    const charge = SINGLY_CHARGED.has(name) ? -1 : ion(name).charge;
    squares += content * charge ** 2;
    charges += content * charge;
  }
  return (squares + Math.abs(charges)) / 2;
}

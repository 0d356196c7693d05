/** A sparingly soluble salt: what it consists of and its solubility product at 25 °C, in mol/L. */
export interface SparinglySoluble {
  readonly formula: string;
  readonly cation: string;
  readonly anion: string;
  /** Ions of either kind in one formula unit. */
  readonly counts: readonly [cations: number, anions: number];
  readonly solubilityProduct: number;
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

/** All rows of the table. */
export const SPARINGLY_SOLUBLE: readonly SparinglySoluble[] = ROWS.map(
  ([formula, cation, cations, anion, anions, solubilityProduct]) => ({
    formula,
    cation,
    anion,
    counts: [cations, anions],
    solubilityProduct,
  }),
);

/** How often a solution holds the solubility product of a salt. */
export interface Saturation {
  readonly salt: SparinglySoluble;
  /** Ion product over solubility product; above 1 the solution is supersaturated. */
  readonly ratio: number;
}

/**
 * Every sparingly soluble salt both of whose ions a solution holds, most saturated first.
 *
 *     ratio = [cation]ᵃ[anion]ᵇ/K_sp
 *
 * Activity coefficients are left at 1: at the 0.03 mol/L of a mixture of stocks that makes doubly charged pairs look up
 * to fourfold more saturated, on the side of caution.
 *
 * @param molar mol/L by ion
 */
export function saturations(molar: ReadonlyMap<string, number>): readonly Saturation[] {
  const found: Saturation[] = [];
  for (const salt of SPARINGLY_SOLUBLE) {
    const cation = molar.get(salt.cation) ?? 0;
    const anion = molar.get(salt.anion) ?? 0;
    if (!(cation > 0 && anion > 0)) continue;
    const product = cation ** salt.counts[0] * anion ** salt.counts[1];
    found.push({ salt, ratio: product / salt.solubilityProduct });
  }
  return found.sort((a, b) => b.ratio - a.ratio);
}

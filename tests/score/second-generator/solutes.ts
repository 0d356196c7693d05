/**
 * The dissolved substances of the invented laboratory and their constants: own transcription, so that a slip in
 * the product's ion table cannot hide here.
 *
 * Conductances are limiting values per equivalent at 25 °C, S·cm²/eq.
 * @source P. Vanysek, Ionic conductivity and diffusion at infinite dilution, CRC Handbook of Chemistry and
 *   Physics (read in public copies of the table); dimethylammonium and methanesulfonate from memory.
 * @source pK values: CRC Handbook, dissociation constants of acids (read in public copies); nitrous 3.25 from memory.
 */
export interface Species {
  readonly charge: number;
  /** S·cm²/eq */
  readonly conductance: number;
}

/** A substance as a ladder of species, each with one proton less than the one before. */
export interface Solute {
  readonly name: string;
  /** g/mol of the ion that results are reported as. */
  readonly molarMass: number;
  readonly species: readonly Species[];
  /** Dissociation constants between neighbours of the ladder, mol/L. */
  readonly constants: readonly number[];
}

/** Ionic product of water at 25 °C, mol²/L². */
export const WATER_PRODUCT = 1.0e-14;
export const HYDROGEN_CONDUCTANCE = 349.65;
export const HYDROXIDE_CONDUCTANCE = 198.0;

function always(name: string, molarMass: number, charge: number, conductance: number): Solute {
  return { name, molarMass, species: [{ charge, conductance }], constants: [] };
}

function ladder(
  name: string,
  molarMass: number,
  species: readonly (readonly [charge: number, conductance: number])[],
  pK: readonly number[],
): Solute {
  return {
    name,
    molarMass,
    species: species.map(([charge, conductance]) => ({ charge, conductance })),
    constants: pK.map((value) => 10 ** -value),
  };
}

/** Carbon dioxide in water with its two ions. */
export const CARBONIC = ladder(
  "carbonic acid",
  61.017,
  [
    [0, 0],
    [-1, 44.5],
    [-2, 69.3],
  ],
  [6.35, 10.33],
);
/** Strong acid that the anion suppressor lets through from its regenerant, as one equivalent of ½SO₄. */
export const ACID_LEAK = always("acid leak", 48.03, -1, 80.0);
/** Strong base that the cation suppressor lets through: tetrabutylammonium hydroxide. */
export const BASE_LEAK = always("base leak", 242.47, 1, 19.5);

export const ANIONS: readonly Solute[] = [
  ladder(
    "fluoride",
    18.998,
    [
      [0, 0],
      [-1, 55.4],
    ],
    [3.2],
  ),
  always("chloride", 35.45, -1, 76.31),
  ladder(
    "nitrite",
    46.005,
    [
      [0, 0],
      [-1, 71.8],
    ],
    [3.25],
  ),
  always("chlorate", 83.447, -1, 64.6),
  always("bromide", 79.904, -1, 78.1),
  always("nitrate", 62.004, -1, 71.42),
  ladder(
    "phosphate",
    94.97,
    [
      [0, 0],
      [-1, 36.0],
      [-2, 57.0],
    ],
    [2.16, 7.21],
  ),
  ladder(
    "sulfate",
    96.056,
    [
      [-1, 52.0],
      [-2, 80.0],
    ],
    [1.99],
  ),
];

export const CATIONS: readonly Solute[] = [
  always("lithium", 6.94, 1, 38.66),
  always("sodium", 22.99, 1, 50.08),
  ladder(
    "ammonium",
    18.039,
    [
      [1, 73.5],
      [0, 0],
    ],
    [9.25],
  ),
  always("potassium", 39.098, 1, 73.48),
  always("magnesium", 24.305, 2, 53.0),
  always("calcium", 40.078, 2, 59.47),
  always("strontium", 87.62, 2, 59.4),
];

/** Substances that no method of the invented laboratory names. */
export const STRANGERS: readonly Solute[] = [
  always("stranger sulfonate", 95.1, -1, 48.8),
  ladder(
    "stranger lactate",
    89.07,
    [
      [0, 0],
      [-1, 38.8],
    ],
    [3.86],
  ),
  ladder(
    "stranger dicarboxylate",
    88.02,
    [
      [0, 0],
      [-1, 40.2],
      [-2, 74.11],
    ],
    [1.25, 3.81],
  ),
  always("stranger phosphonate", 110.0, -1, 40.0),
  ladder(
    "stranger methylamine",
    32.066,
    [
      [1, 58.7],
      [0, 0],
    ],
    [10.66],
  ),
  ladder(
    "stranger dimethylamine",
    46.093,
    [
      [1, 51.8],
      [0, 0],
    ],
    [10.73],
  ),
  always("stranger metal", 54.938, 2, 53.5),
];

/** The substance of a name. */
export function soluteNamed(name: string): Solute {
  const found = [...ANIONS, ...CATIONS, ...STRANGERS].find((solute) => solute.name === name);
  if (found === undefined) throw new Error(`no solute is called ${name}`);
  return found;
}

/** Size of an ion in Å, and the linear term b in L/mol that was fitted together with it. */
export interface IonSize {
  readonly size: number;
  readonly linear: number;
}

/** Sizes for the extended Debye–Hückel formula without a linear term, Å. */
const KIELLAND_SIZES: readonly (readonly [size: number, ions: string])[] = [
  [9, "hydrogen, aluminium, iron(III)"],
  [8, "magnesium, beryllium"],
  [
    6,
    "lithium, calcium, iron(II), manganese(II), zinc, copper(II), nickel(II), cobalt(II), benzoate, phthalate",
  ],
  [5, "strontium, barium, citrate"],
  [4.5, "sodium, hydrogencarbonate, carbonate, acetate, oxalate, sulfite, hydrogencitrate"],
  [4, "sulfate, hydrogenphosphate, phosphate, dihydrogenphosphate, chromate, thiosulfate"],
  [3.5, "hydroxide, fluoride, hydrogensulfide, perchlorate, chlorate, bromate, formate, dihydrogencitrate"],
  [3, "potassium, chloride, bromide, iodide, nitrate, nitrite, cyanide"],
  [2.5, "ammonium, rubidium, caesium, silver"],
];

/** Sizes and linear terms that belong together: name, a, b. */
const FITTED_PAIRS: readonly (readonly [ion: string, size: number, linear: number])[] = [
  ["hydrogen", 9, 0],
  ["magnesium", 5.5, 0.2],
  ["calcium", 5, 0.165],
  ["sodium", 4, 0.075],
  ["potassium", 3.5, 0.015],
  ["ammonium", 2.5, 0],
  ["chloride", 3.5, 0.015],
  ["sulfate", 5, -0.04],
  ["hydrogencarbonate", 5.4, 0],
  ["nitrate", 3, 0],
  ["fluoride", 3.5, 0],
];

/**
 * Ion sizes for the extended formula without a linear term. A size from the other list would be wrong here.
 *
 * @source J. Kielland, J. Am. Chem. Soc. 59 (1937) 1675 (from memory; calcium, sodium, hydrogen and others compared with a
 *   table made from it)
 */
export const KIELLAND: ReadonlyMap<string, IonSize> = new Map(
  KIELLAND_SIZES.flatMap(([size, ions]) =>
    ions.split(", ").map((name) => [name, { size, linear: 0 }] as const),
  ),
);

/**
 * Ion sizes and linear terms fitted together.
 *
 * @source A.H. Truesdell and B.F. Jones, J. Res. USGS 2 (1974) 233, as in the USGS geochemical database phreeqc.dat (sizes
 *   read in a public copy, linear terms from memory)
 */
export const FITTED: ReadonlyMap<string, IonSize> = new Map(
  FITTED_PAIRS.map(([name, size, linear]) => [name, { size, linear }] as const),
);

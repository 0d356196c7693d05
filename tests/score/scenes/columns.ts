import type { ColumnSolute, Instrument } from "../../../toolkit/simulation/instrument.js";
import { ANION_INSTRUMENT, CATION_INSTRUMENT } from "../../../toolkit/simulation/road-salt-instruments.js";

/** A column with its method: what the handbook's SIMULATOR §3 and §4 give; all retention numbers are invented. */
export interface Column {
  readonly family: "anions" | "cations";
  readonly instrument: Instrument;
  readonly solutes: readonly ColumnSolute[];
  /** mg/L of a usual sample; each sample varies every ion by half a decade up and down. */
  readonly usual: Readonly<Record<string, number>>;
  /** mg/L of the highest standard. */
  readonly highest: Readonly<Record<string, number>>;
  /** Substances that are in no method: in some samples, never in standards. */
  readonly strangers: readonly ColumnSolute[];
}

type Row = readonly [ion: string, a: number, b: number, plates: number, tailing: number, overload: number];

const solute = ([ion, a, b, plates, tailing, overload]: Row): ColumnSolute => ({
  ion,
  a,
  b,
  plates,
  tailing,
  overload,
  temperatureSlope: -0.0012,
});

const ANIONS: Column = {
  family: "anions",
  instrument: {
    ...ANION_INSTRUMENT,
    program: [
      [0, 10],
      [6, 10],
      [16, 40],
      [20, 40],
    ],
    flow: 1,
    loop: 25,
    holdUpTime: 1.6,
    dwellTime: 0.6,
    runTime: 22,
    background: { carbonicAcid: 2e-6, leak: 0 },
    gradientRise: 0.012,
    waterDip: 1.2,
    carbonate: { a: 3.02, b: 1.7, plates: 500, tailing: 0.3, passing: 0, pickedUp: 1.5 },
  },
  solutes: (
    [
      ["iodate", 0.724, 0.95, 7000, 0.25, 3],
      ["fluoride", 1.0, 0.95, 7000, 0.25, 3],
      ["acetate", 1.16, 0.95, 6500, 0.3, 3],
      ["formate", 1.24, 0.95, 6500, 0.3, 3],
      ["chlorite", 1.4, 0.96, 6500, 0.35, 4],
      ["bromate", 1.47, 0.96, 6500, 0.35, 4],
      ["chloride", 1.66, 1.0, 7500, 0.3, 5],
      ["nitrite", 1.79, 1.0, 7000, 0.4, 5],
      ["chlorate", 1.955, 0.99, 6500, 0.45, 6],
      ["bromide", 1.995, 1.0, 6500, 0.5, 6],
      ["nitrate", 2.045, 1.0, 6500, 0.55, 6],
      ["sulfate", 3.36, 1.95, 6000, 0.3, 4],
      ["phosphate", 4.8, 2.75, 5000, 0.35, 4],
    ] as const
  ).map(solute),
  usual: {
    iodate: 0.05,
    fluoride: 0.2,
    acetate: 0.1,
    formate: 0.1,
    chlorite: 0.05,
    bromate: 0.02,
    chloride: 50,
    nitrite: 0.05,
    chlorate: 0.05,
    bromide: 0.1,
    nitrate: 5,
    sulfate: 30,
    phosphate: 0.2,
  },
  highest: {
    iodate: 5,
    fluoride: 5,
    acetate: 5,
    formate: 5,
    chlorite: 5,
    bromate: 5,
    chloride: 100,
    nitrite: 5,
    chlorate: 5,
    bromide: 5,
    nitrate: 20,
    sulfate: 60,
    phosphate: 10,
  },
  strangers: (
    [
      ["methanesulfonate", 1.725, 1.0, 6500, 0.4, 5],
      ["dichloroacetate", 1.88, 1.0, 6500, 0.45, 5],
    ] as const
  ).map(solute),
};

const CATIONS: Column = {
  family: "cations",
  instrument: {
    ...CATION_INSTRUMENT,
    program: [
      [0, 4.5],
      [8, 4.5],
      [18, 36],
      [24, 36],
    ],
    flow: 1,
    loop: 25,
    holdUpTime: 1.45,
    dwellTime: 0.65,
    runTime: 22,
    gradientRise: 0.01,
    waterDip: 0.7,
  },
  solutes: (
    [
      ["lithium", 1.185, 0.95, 7000, 0.3, 4],
      ["sodium", 1.333, 0.95, 7000, 0.4, 4],
      ["ammonium", 1.402, 0.95, 7000, 0.5, 4],
      ["potassium", 1.553, 0.94, 6500, 0.3, 4],
      ["rubidium", 1.629, 0.94, 6500, 0.3, 4],
      ["caesium", 1.73, 0.93, 6000, 0.3, 4],
      ["magnesium", 2.9, 1.9, 5500, 0.35, 3],
      ["calcium", 3.028, 1.9, 5500, 0.35, 3],
      ["strontium", 3.14, 1.9, 5200, 0.35, 3],
      ["barium", 3.335, 1.9, 5000, 0.35, 3],
    ] as const
  ).map(solute),
  usual: {
    lithium: 0.01,
    sodium: 20,
    ammonium: 0.05,
    potassium: 3,
    rubidium: 0.005,
    caesium: 0.005,
    magnesium: 8,
    calcium: 40,
    strontium: 0.2,
    barium: 0.02,
  },
  highest: {
    lithium: 1,
    sodium: 50,
    ammonium: 2,
    potassium: 10,
    rubidium: 2,
    caesium: 2,
    magnesium: 20,
    calcium: 80,
    strontium: 5,
    barium: 2,
  },
  strangers: [solute(["methylammonium", 1.47, 0.95, 6500, 0.4, 4])],
};

export const COLUMNS = { anions: ANIONS, cations: CATIONS } as const;

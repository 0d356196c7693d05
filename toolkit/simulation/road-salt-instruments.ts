import type { EluentProgram } from "../separation/eluent-program.js";
import type { ColumnSolute, Instrument } from "./instrument.js";

/** a, b, plates, tailing, overload per µmol, d log k/dT: all invented, in the range of real columns. */
type Row = readonly [
  ion: string,
  a: number,
  b: number,
  plates: number,
  tailing: number,
  overload: number,
  slope: number,
];

const columnSolute = ([ion, a, b, plates, tailing, overload, temperatureSlope]: Row): ColumnSolute => ({
  ion,
  a,
  b,
  plates,
  tailing,
  overload,
  temperatureSlope,
});

/** The anion column: the ions of the method, and two organic acids that are not in it. */
export const ANION_SOLUTES: readonly ColumnSolute[] = (
  [
    ["fluoride", 1.0, 0.95, 7000, 0.25, 12, -0.0006],
    ["formate", 1.27, 0.95, 6500, 0.3, 12, -0.0008],
    ["methanesulfonate", 1.405, 0.96, 6500, 0.3, 14, -0.001],
    ["chloride", 1.62, 1.0, 7500, 0.3, 20, -0.0012],
    ["nitrite", 1.8, 1.0, 7000, 0.4, 20, -0.0014],
    ["bromide", 2.06, 1.0, 6500, 0.5, 24, -0.002],
    ["nitrate", 2.16, 1.0, 6500, 0.55, 24, -0.0022],
    ["sulfate", 3.55, 1.95, 6000, 0.3, 16, 0.0012],
    ["phosphate", 5.0, 2.75, 5000, 0.35, 16, 0.0015],
  ] as const
).map(columnSolute);

export const CATION_SOLUTES: readonly ColumnSolute[] = (
  [
    ["lithium", 1.185, 0.95, 7000, 0.3, 16, -0.001],
    ["sodium", 1.333, 0.95, 7000, 0.4, 16, -0.0015],
    ["ammonium", 1.402, 0.95, 7000, 0.5, 16, -0.0018],
    ["potassium", 1.553, 0.94, 6500, 0.3, 16, -0.0024],
    ["magnesium", 2.9, 1.9, 5500, 0.35, 12, 0.002],
    ["calcium", 3.028, 1.9, 5500, 0.35, 12, 0.0012],
    ["strontium", 3.24, 1.9, 5200, 0.35, 12, 0.0008],
  ] as const
).map(columnSolute);

const ANION_PROGRAM: EluentProgram = [
  [0, 9],
  [4, 9],
  [18, 45],
  [20, 45],
];

const CATION_PROGRAM: EluentProgram = [
  [0, 4.5],
  [8, 4.5],
  [18, 36],
  [20, 36],
];

/** What both chromatographs have in common: narrow columns, a quiet detector, chemically regenerated suppressors. */
const COMMON = {
  flow: 0.25,
  loop: 20,
  holdUpTime: 1.3,
  dwellTime: 0.55,
  runTime: 20,
  samplingRate: 5,
  wander: 0.005,
  drift: 0.0004,
  noise: { white: 0.0005, pink: 0.0005, pulsation: 0.0002 },
  leastBit: 1e-5,
  injectionError: 0.003,
  carryOver: 2e-5,
} as const;

/**
 * The anion chromatograph. A little sulfuric acid leaks from the regenerant into the cell (background 0.9 µS/cm); it
 * keeps water and carbonic acid undissociated, so that the response is straight down to the lowest level.
 */
export const ANION_INSTRUMENT: Instrument = {
  ...COMMON,
  channel: "anion",
  eluent: "hydroxide",
  program: ANION_PROGRAM,
  background: { carbonicAcid: 3e-7, leak: 2e-6 },
  gradientRise: 0.012,
  waterDip: 0.6,
  carbonate: { a: 2.72, b: 1.7, plates: 300, tailing: 0.3, passing: 0.01, pickedUp: 0.2 },
};

/** The cation chromatograph; here the regenerant that leaks is sodium hydroxide (background 0.5 µS/cm). */
export const CATION_INSTRUMENT: Instrument = {
  ...COMMON,
  channel: "cation",
  eluent: "methanesulfonic acid",
  program: CATION_PROGRAM,
  background: { carbonicAcid: 2e-7, leak: -2e-6 },
  gradientRise: 0.01,
  waterDip: 0.35,
};

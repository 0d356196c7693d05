/** A published dependence of acid constants on temperature. */
export interface TemperatureFormula {
  /** Range of validity, °C. */
  readonly from: number;
  readonly to: number;
  readonly source: string;
  /**
   * pKa at T kelvin, one for each step. Where `relative` is set, only the change from 298.15 K is taken from here and added
   * to the 25 °C constant of the ion table, so that no step lies between "25 °C" and no temperature at all.
   */
  readonly at: readonly ((T: number) => number)[];
  readonly relative: boolean;
}

const T25 = 298.15;
/** R·ln 10, kJ/(mol·K). */
const R_LN10 = 8.31446e-3 * Math.LN10;

const ROBINSON_STOKES =
  "H.S. Harned and others' formulas pKa = A/T − B + C·T as collected by R.A. Robinson and R.H. Stokes, Electrolyte Solutions, appendix 12 (from memory; met by their 25 °C values and reaction enthalpies)";
const GOLDBERG =
  "enthalpies and heat capacities of ionization: R.N. Goldberg, N. Kishore and R.M. Lennen, J. Phys. Chem. Ref. Data 31 (2002) 231 (from memory)";
const USGS =
  "analytical expression of the USGS geochemical database phreeqc.dat (from memory; met by its 25 °C value)";

/** pKa = A/T − B + C·T. */
function harned(A: number, B: number, C: number): (T: number) => number {
  return (T) => A / T - B + C * T;
}

/** −log₁₀ K with log₁₀ K = a + b·T + c/T + d·log₁₀ T + e/T². */
function analytical(a: number, b: number, c: number, d = 0, e = 0): (T: number) => number {
  return (T) => -(a + b * T + c / T + d * Math.log10(T) + e / T ** 2);
}

/** Change of pKa from 298.15 K by enthalpy (kJ/mol) and heat capacity (J/(mol·K)) of dissociation. */
function vantHoff(enthalpy: number, heatCapacity = 0): (T: number) => number {
  return (T) =>
    (enthalpy * (1 / T - 1 / T25) - (heatCapacity / 1000) * (T25 / T - 1 + Math.log(T / T25))) / R_LN10;
}

function collected(...at: readonly ((T: number) => number)[]): TemperatureFormula {
  return { from: 0, to: 60, source: ROBINSON_STOKES, at, relative: true };
}

/** With heat capacities 0 to 50 °C, without 10 to 40 °C, where they would change pKa by less than 0.02. */
function enthalpic(
  steps: readonly (readonly [enthalpy: number, heatCapacity?: number])[],
): TemperatureFormula {
  const known = steps.every(([, heatCapacity]) => heatCapacity !== undefined);
  const at = steps.map(([enthalpy, heatCapacity]) => vantHoff(enthalpy, heatCapacity));
  return { from: known ? 0 : 10, to: known ? 50 : 40, source: GOLDBERG, at, relative: true };
}

/** By acid system of the ion table; a system that is not here is known at 25 °C only. */
export const TEMPERATURE_FORMULAS: Readonly<Record<string, TemperatureFormula>> = {
  ammonia: {
    from: 0,
    to: 50,
    source: "K. Emerson et al., J. Fish. Res. Board Can. 32 (1975) 2379: pKa = 0.09018 + 2729.92/(273.2 + t)",
    at: [(T) => 0.09018 + 2729.92 / (T + 0.05)],
    relative: false,
  },
  carbonate: {
    from: 0,
    to: 90,
    source: "L.N. Plummer and E. Busenberg, Geochim. Cosmochim. Acta 46 (1982) 1011",
    at: [
      analytical(-356.3094, -0.06091964, 21834.37, 126.8339, -1684915),
      analytical(-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9),
    ],
    relative: false,
  },
  phosphate: {
    from: 0,
    to: 50,
    source: `${ROBINSON_STOKES}; third step: ${GOLDBERG}`,
    at: [harned(799.31, 4.5535, 0.013486), harned(2073.0, 5.9884, 0.020912), vantHoff(16.0, -242)],
    relative: true,
  },
  borate: collected(harned(2237.94, 3.305, 0.016883)),
  fluoride: { from: 0, to: 60, source: USGS, at: [analytical(2.033, -0.012645, -429.01)], relative: true },
  // Older expressions, among them that of phreeqc.dat, have 16 kJ/mol in place of 22.4: 0.1 in pKa at 0 °C.
  sulfate: enthalpic([[-22.4, -258]]),
  silicate: {
    from: 0,
    to: 90,
    source: USGS,
    at: [analytical(-302.3724, -0.050698, 15669.69, 108.18466, -1119669)],
    relative: true,
  },
  formate: collected(harned(1342.85, 5.2743, 0.015168)),
  acetate: collected(harned(1170.48, 3.1649, 0.013399)),
  propionate: collected(harned(1213.26, 3.386, 0.014055)),
  butyrate: collected(harned(1033.39, 2.6215, 0.013334)),
  chloroacetate: collected(harned(1049.05, 5.0273, 0.014654)),
  glycolate: collected(harned(1303.26, 4.7845, 0.014236)),
  lactate: collected(harned(1304.72, 4.9639, 0.014926)),
  citrate: enthalpic([
    [4.07, -131],
    [2.23, -178],
    [-3.38, -254],
  ]),
  succinate: enthalpic([[3.0], [-0.5]]),
  tartrate: enthalpic([[3.19], [0.93]]),
  maleate: enthalpic([[1.1], [-3.6]]),
  phthalate: enthalpic([
    [-2.7, -91],
    [-2.17, -295],
  ]),
  oxalate: {
    from: 10,
    to: 40,
    source: `${ROBINSON_STOKES}; first step: ${GOLDBERG}`,
    at: [vantHoff(0), harned(1423.8, 6.5007, 0.020095)],
    relative: true,
  },
  sulfite: enthalpic([
    [-17.8, -272],
    [-3.65, -262],
  ]),
  methylamine: enthalpic([[55.34]]),
  trimethylamine: enthalpic([[36.88]]),
  ethanolamine: enthalpic([[50.52]]),
};

/** Ion product of water, −log₁₀ at T kelvin, from 0 to 60 °C here. */
export const WATER_FORMULA: TemperatureFormula = {
  from: 0,
  to: 60,
  source: USGS,
  at: [(T) => analytical(293.29227, 0.1360833, -10576.913, -123.73158)(T) + 6.996455e-5 * T ** 2],
  relative: true,
};

/** Solubility of carbon dioxide, −log₁₀ of mol/(L·atm) at T kelvin. */
export const CARBON_DIOXIDE_FORMULA: TemperatureFormula = {
  from: 0,
  to: 90,
  source: "L.N. Plummer and E. Busenberg, Geochim. Cosmochim. Acta 46 (1982) 1011",
  at: [analytical(108.3865, 0.01985076, -6919.53, -40.45154, 669365)],
  relative: false,
};

/** Constants of a formula at t °C; undefined outside its range. `base` are the 25 °C constants of the ion table. */
export function constantsAt(
  formula: TemperatureFormula,
  base: readonly number[],
  t: number,
): readonly number[] | undefined {
  if (!(t >= formula.from && t <= formula.to)) return undefined;
  const T = t + 273.15;
  return formula.at.map((at, i) => (formula.relative ? base[i] + at(T) - at(T25) : at(T)));
}

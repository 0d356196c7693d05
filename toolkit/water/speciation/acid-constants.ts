import type { AcidSystem } from "../../ions/acid-systems.js";
import { cappedActivityCoefficient } from "./activity.js";

/** pKw at 25 °C and zero ionic strength. Source: USGS geochemical database phreeqc.dat. */
export const PK_WATER = 13.995;

/** A published formula of acid constants against temperature. */
interface TemperatureFormula {
  /** Range of validity, °C. */
  readonly from: number;
  readonly to: number;
  readonly source: string;
  /** pKa values at t °C. */
  readonly at: (t: number) => readonly number[];
}

const FORMULAS: Readonly<Record<string, TemperatureFormula>> = {
  ammonia: {
    from: 0,
    to: 50,
    source: "K. Emerson et al., J. Fish. Res. Board Can. 32 (1975) 2379: pKa = 0.09018 + 2729.92/(273.2 + t)",
    at: (t) => [0.09018 + 2729.92 / (273.2 + t)],
  },
  carbonate: {
    from: 0,
    to: 90,
    source: "L.N. Plummer and E. Busenberg, Geochim. Cosmochim. Acta 46 (1982) 1011",
    at: (t) => {
      const T = t + 273.15;
      const log = Math.log10(T);
      return [
        356.3094 + 0.06091964 * T - 21834.37 / T - 126.8339 * log + 1684915 / T ** 2,
        107.8871 + 0.03252849 * T - 5151.79 / T - 38.92561 * log + 563713.9 / T ** 2,
      ];
    },
  },
};

/**
 * pKa values at a temperature and zero ionic strength; undefined where no formula covers it.
 * Without a temperature, the 25 °C constants of the ion table.
 *
 * @source see the formula of each system in this file
 */
export function acidConstantsAt(system: AcidSystem, temperature?: number): readonly number[] | undefined {
  if (temperature === undefined) return system.pKa;
  const formula = FORMULAS[system.name];
  if (formula)
    return temperature >= formula.from && temperature <= formula.to ? formula.at(temperature) : undefined;
  return Math.abs(temperature - 25) <= 0.5 ? system.pKa : undefined;
}

/**
 * Mixed constants, for an activity of H⁺ (a pH) and concentrations of the forms:
 * pK′ = pK + log₁₀(γ_base/γ_acid), γ by Davies.
 *
 * @param charges charge numbers of the forms, from the most to the least protonated
 * @source W. Stumm and J.J. Morgan, Aquatic Chemistry, mixed acidity constants
 */
export function mixedConstants(
  pKa: readonly number[],
  charges: readonly number[],
  ionicStrength: number,
  temperature = 25,
): readonly number[] {
  if (ionicStrength === 0) return pKa;
  const logGamma = charges.map((z) => Math.log10(cappedActivityCoefficient(z, ionicStrength, temperature)));
  return pKa.map((pK, i) => pK + logGamma[i + 1] - logGamma[i]);
}

/**
 * Fractions of the forms of an acid at a pH, most protonated first: αᵢ ∝ h^(n−i)·K₁…Kᵢ.
 * Computed from the largest term on, so that no pH overflows.
 */
export function formFractions(pKa: readonly number[], pH: number): readonly number[] {
  const logs = [0];
  for (const pK of pKa) logs.push(logs[logs.length - 1] + pH - pK);
  const largest = Math.max(...logs);
  const terms = logs.map((log) => 10 ** (log - largest));
  const sum = terms.reduce((total, term) => total + term, 0);
  return terms.map((term) => term / sum);
}

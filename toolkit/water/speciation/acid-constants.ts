import type { AcidSystem } from "../../ions/acid-systems.js";
import { cappedActivityCoefficient } from "./activity.js";
import {
  CARBON_DIOXIDE_FORMULA,
  constantsAt,
  TEMPERATURE_FORMULAS,
  WATER_FORMULA,
} from "./temperature-formulas.js";

/** pKw at 25 °C and zero ionic strength. Source: USGS geochemical database phreeqc.dat. */
export const PK_WATER = 13.995;

/**
 * pKa values at a temperature and zero ionic strength; undefined where no formula covers it.
 * Without a temperature, the 25 °C constants of the ion table.
 *
 * @source see `TEMPERATURE_FORMULAS`; systems without a formula are known at 25 °C only
 */
export function acidConstantsAt(system: AcidSystem, temperature?: number): readonly number[] | undefined {
  if (temperature === undefined) return system.pKa;
  const formula = TEMPERATURE_FORMULAS[system.name];
  if (formula) return constantsAt(formula, system.pKa, temperature);
  return Math.abs(temperature - 25) <= 0.5 ? system.pKa : undefined;
}

/** Where the constants of a system are known, °C, and by what formula. */
export function constantsRange(system: AcidSystem): {
  readonly from: number;
  readonly to: number;
  readonly source: string;
} {
  const formula = TEMPERATURE_FORMULAS[system.name];
  return formula ?? { from: 24.5, to: 25.5, source: system.source };
}

/**
 * −log₁₀ of the ion product of water at a temperature; 13.995 at 25 °C. undefined outside 0 to 60 °C.
 *
 * @source analytical expression of the USGS geochemical database phreeqc.dat
 */
export function waterIonProductAt(temperature = 25): number | undefined {
  return constantsAt(WATER_FORMULA, [PK_WATER], temperature)?.[0];
}

/**
 * −log₁₀ of the solubility of carbon dioxide (as CO2 and H2CO3 together), mol/(L·atm); 1.468 at 25 °C. undefined outside 0
 * to 90 °C.
 *
 * @source L.N. Plummer and E. Busenberg, Geochim. Cosmochim. Acta 46 (1982) 1011
 */
export function carbonDioxideSolubilityAt(temperature = 25): number | undefined {
  return constantsAt(CARBON_DIOXIDE_FORMULA, [], temperature)?.[0];
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

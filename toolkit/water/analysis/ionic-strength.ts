import { type Concentrations, readWater, type WaterOptions } from "./water-input.js";
import { waterState } from "./water-state.js";

/**
 * Ionic strength, mol/L: I = ½·Σ cᵢ·zᵢ², cᵢ in mol/L over all charged forms. Weak acids and bases are spread over their
 * forms at the pH (7 where none is given).
 *
 * @param concentrations mg/L by ion
 * @throws IonbookError "unknown-ion", "duplicate-ion", "negative-concentration", "not-a-number", "unit-mismatch", "bad-pH"
 * @source G.N. Lewis and M. Randall, J. Am. Chem. Soc. 43 (1921) 1112
 */
export function ionicStrength(concentrations: Concentrations, options: WaterOptions = {}): number {
  return waterState(readWater(concentrations, options)).ionicStrength;
}

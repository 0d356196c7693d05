import { IonbookError } from "../../errors.js";
import { convert } from "../../ions/units.js";
import { combineLinear, type MeasuredValue } from "../../uncertainty/measured.js";
import { type Concentrations, readWater, type WaterOptions } from "../analysis/water-input.js";
import { waterState } from "../analysis/water-state.js";
import { chargeBalance } from "../balance/charge-balance.js";

/**
 * Alkalinity a water would need for its charge to balance, mg/L as CaCO3: cations less anions, H⁺ and OH⁻
 * aside, and what other bases take up when it is titrated; with its uncertainty.
 *
 * A number of last resort: with it no balance test exists, and `chargeBalance` flags or refuses it. Every missing or wrong
 * ion is in it.
 *
 * @param concentrations mg/L by ion, without hydrogencarbonate and carbonate
 * @throws IonbookError "carbonate-given" where hydrogencarbonate, carbonate or alkalinity is given; others as `chargeBalance`
 * @source common practice, no source
 */
export function alkalinityByDifference(
  concentrations: Concentrations,
  options: WaterOptions = {},
): MeasuredValue {
  const balance = chargeBalance(concentrations, options);
  const given = balance.parts.some(({ ion }) => ion === "hydrogencarbonate" || ion === "carbonate");
  if (given || options.alkalinity !== undefined) {
    throw new IonbookError(
      "carbonate-given",
      "hydrogencarbonate, carbonate or alkalinity is given: a difference beside it is no alkalinity",
    );
  }
  const input = readWater(concentrations, options);
  const { titratedCharges } = waterState(input);
  const perMeq = convert(1, "meq/L", "mg/L as CaCO3", "hydrogencarbonate");
  const charges = balance.parts
    .filter(({ ion }) => ion !== "hydrogen" && ion !== "hydroxide")
    .map(({ side, milliequivalents }) => ({
      value: milliequivalents,
      factor: side === "cation" ? perMeq : -perMeq,
    }));
  const titrated = input.solutes.map(({ ion, concentration }, i) => ({
    value: concentration,
    factor: (perMeq * titratedCharges[i]) / ion.molarMass,
  }));
  return combineLinear([...charges, ...titrated], "mg/L as CaCO3");
}

import { IonbookError } from "../errors.js";
import { ion } from "../ions/ion-table.js";
import { cellSolute, chargeMoments, shareOfForm } from "./cell-solute.js";
import { ConductivityCell, WATER } from "./conductivity-cell.js";

/** What makes the charges of a water add up to zero: hydrogencarbonate, or (acid rain) calcium. */
export type Closing = "alkalinity" | "calcium";

/** A water whose charges add up to zero. */
export interface NaturalWater {
  /** mg/L of each ion, hydrogencarbonate included. */
  readonly concentrations: Readonly<Record<string, number>>;
  /** Total dissolved carbonate, mol/L. */
  readonly totalCarbonate: number;
  /** mg/L as CaCO3 */
  readonly alkalinity: number;
  /** µS/cm at 25 °C */
  readonly conductivity: number;
}

/** Carbonic acid in water that stands in air of 420 µatm carbon dioxide, mol/L: 10^−1.47 · 420e-6. */
const CARBONIC_IN_AIR = 10 ** -1.47 * 420e-6;
const CALCIUM_CARBONATE = 100.087;

/**
 * A water made electroneutral: Σ c·z̄(pH) + [H⁺] − [OH⁻] = 0 with hydrogencarbonate and carbonate among the anions.
 *
 * With "alkalinity" the charge the other ions leave open is carbonate, as in a spring or well, and the alkalinity is
 * that charge; with "calcium" carbonate is in equilibrium with air, as in rain, and calcium closes the gap.
 *
 * @param composition mg/L by ion, total of all forms, without hydrogencarbonate
 * @throws IonbookError "not-neutral" when the gap cannot be closed because the wrong sign is in excess
 */
export function naturalWater(
  composition: Readonly<Record<string, number>>,
  pH: number,
  closing: Closing,
): NaturalWater {
  const h = 10 ** -pH;
  const free = h - WATER / h;
  const carbonate = cellSolute("carbonate");
  const carbonateCharge = -meanCharge("carbonate", h);
  const concentrations: Record<string, number> = { ...composition };
  let totalCarbonate = CARBONIC_IN_AIR / shareOfForm(carbonate, 0, h);
  const open = chargeOf(composition, h) + free;
  if (closing === "calcium") {
    const missing = (totalCarbonate * carbonateCharge - open) / 2;
    concentrations.calcium = (composition.calcium ?? 0) + 1000 * missing * ion("calcium").molarMass;
  } else {
    totalCarbonate = open / carbonateCharge;
  }
  if (!(totalCarbonate > 0) || concentrations.calcium < 0) {
    throw new IonbookError(
      "not-neutral",
      `The charges of this water cannot be made equal: ${closing === "calcium" ? "cations" : "anions"} are in excess by ${Math.abs(1000 * open).toPrecision(3)} meq/L at pH ${pH}. Change its composition`,
    );
  }
  concentrations.hydrogencarbonate =
    1000 * totalCarbonate * shareOfForm(carbonate, 1, h) * ion("hydrogencarbonate").molarMass;
  return {
    concentrations,
    totalCarbonate,
    alkalinity: (totalCarbonate * carbonateCharge - free) * 500 * CALCIUM_CARBONATE,
    conductivity: conductivityOf(concentrations, totalCarbonate),
  };
}

/** mol/L from mg/L. */
export function molesPerLiter(name: string, milligramsPerLiter: number): number {
  return milligramsPerLiter / 1000 / ion(name).molarMass;
}

function chargeOf(composition: Readonly<Record<string, number>>, h: number): number {
  let charge = 0;
  for (const [name, value] of Object.entries(composition))
    charge += molesPerLiter(name, value) * meanCharge(name, h);
  return charge;
}

function meanCharge(name: string, h: number): number {
  const moments = new Float64Array(2);
  chargeMoments(cellSolute(name), h, moments);
  return moments[0];
}

/** The conductivity of the water itself: the same equilibrium as in the cell, without a suppressor. */
function conductivityOf(concentrations: Readonly<Record<string, number>>, totalCarbonate: number): number {
  const ions = Object.entries(concentrations).filter(
    ([name, value]) => name !== "hydrogencarbonate" && value > 0,
  );
  const cell = new ConductivityCell(
    ions.map(([name]) => cellSolute(name)),
    { carbonicAcid: totalCarbonate, leak: 0 },
  );
  return cell.conductivity(ions.map(([name, value]) => molesPerLiter(name, value)));
}

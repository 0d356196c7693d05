import { IonbookError } from "../errors.js";
import { ion } from "../ions/ion-table.js";
import { type CellSolute, cellSolute, chargeMoments, shareOfForm } from "./cell-solute.js";
import { ConductivityCell, WATER } from "./conductivity-cell.js";

/** What makes the charges of a water add up to zero: hydrogencarbonate, or a cation (acid rain, an extract). */
export type Closing = "alkalinity" | "calcium" | "potassium";

/** What an extract holds beside its ions, and how it is titrated. */
export interface ExtractTraits {
  /** Carboxylate groups of dissolved polymers, which leave no column as a peak, eq/L. @default 0 */
  readonly polyanions?: number;
  /** pH at which the titration ends; all bases are titrated along, and the acid of that pH is added. @default only carbonate counts */
  readonly titratedTo?: number;
}

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
/** Carboxylate groups of a polyuronate: acid constant of its sugars [from memory], a slow polymer's conductivity [invented]. */
const POLYANION: CellSolute = {
  name: "polyanion",
  charges: Float64Array.of(0, -1),
  lambdas: Float64Array.of(0, 30),
  constants: Float64Array.of(10 ** -3.6),
};

/**
 * A water made electroneutral: Σ c·z̄(pH) + [H⁺] − [OH⁻] = 0 with hydrogencarbonate and carbonate among the anions.
 *
 * With "alkalinity" the charge the other ions leave open is carbonate, as in a spring or well, and the alkalinity is
 * that charge; with a cation carbonate is in equilibrium with air, as in rain, and that cation closes the gap.
 *
 * @param composition mg/L by ion, total of all forms, without hydrogencarbonate
 * @param traits polymers that carry charge, and how far the alkalinity is titrated
 * @throws IonbookError "not-neutral" when the gap cannot be closed because the wrong sign is in excess
 */
export function naturalWater(
  composition: Readonly<Record<string, number>>,
  pH: number,
  closing: Closing,
  traits: ExtractTraits = {},
): NaturalWater {
  const { polyanions = 0, titratedTo } = traits;
  const h = 10 ** -pH;
  const free = freeAcid(h);
  const carbonate = cellSolute("carbonate");
  const carbonateCharge = -meanCharge("carbonate", h);
  const concentrations: Record<string, number> = { ...composition };
  let totalCarbonate = CARBONIC_IN_AIR / shareOfForm(carbonate, 0, h);
  const open = chargeOf(composition, h) + free + polyanions * meanCharge(POLYANION, h);
  if (closing === "alkalinity") {
    totalCarbonate = open / carbonateCharge;
  } else {
    const { charge, molarMass } = ion(closing);
    const missing = (totalCarbonate * carbonateCharge - open) / charge;
    concentrations[closing] = (composition[closing] ?? 0) + 1000 * missing * molarMass;
  }
  if (!(totalCarbonate > 0) || concentrations[closing] < 0) {
    throw new IonbookError(
      "not-neutral",
      `The charges of this water cannot be made equal: ${closing === "alkalinity" ? "anions" : "cations"} are in excess by ${Math.abs(1000 * open).toPrecision(3)} meq/L at pH ${pH}. Change its composition`,
    );
  }
  concentrations.hydrogencarbonate =
    1000 * totalCarbonate * shareOfForm(carbonate, 1, h) * ion("hydrogencarbonate").molarMass;
  const titrated =
    titratedTo === undefined
      ? totalCarbonate * carbonateCharge - free
      : titratedBases(concentrations, totalCarbonate, polyanions, h, 10 ** -titratedTo);
  return {
    concentrations,
    totalCarbonate,
    alkalinity: titrated * 500 * CALCIUM_CARBONATE,
    conductivity: conductivityOf(concentrations, totalCarbonate, polyanions),
  };
}

/** Acid from [H⁺] = h to the end of the titration, eq/L: what all bases take up, and what the lower pH itself needs. */
function titratedBases(
  concentrations: Readonly<Record<string, number>>,
  totalCarbonate: number,
  polyanions: number,
  h: number,
  end: number,
): number {
  const taken = (of: string | CellSolute): number => meanCharge(of, end) - meanCharge(of, h);
  const ions = Object.entries(concentrations).filter(([name]) => name !== "hydrogencarbonate");
  return ions.reduce(
    (sum, [name, value]) => sum + molesPerLiter(name, value) * taken(name),
    totalCarbonate * taken("carbonate") + polyanions * taken(POLYANION) + freeAcid(end) - freeAcid(h),
  );
}

/** [H⁺] − [OH⁻], eq/L. */
function freeAcid(h: number): number {
  return h - WATER / h;
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

function meanCharge(of: string | CellSolute, h: number): number {
  const moments = new Float64Array(2);
  chargeMoments(typeof of === "string" ? cellSolute(of) : of, h, moments);
  return moments[0];
}

/** The conductivity of the water itself: the same equilibrium as in the cell, without a suppressor. */
function conductivityOf(
  concentrations: Readonly<Record<string, number>>,
  totalCarbonate: number,
  polyanions: number,
): number {
  const ions = Object.entries(concentrations).filter(
    ([name, value]) => name !== "hydrogencarbonate" && value > 0,
  );
  const cell = new ConductivityCell([...ions.map(([name]) => cellSolute(name)), POLYANION], {
    carbonicAcid: totalCarbonate,
    leak: 0,
  });
  return cell.conductivity([...ions.map(([name, value]) => molesPerLiter(name, value)), polyanions]);
}

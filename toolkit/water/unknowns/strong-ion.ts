import { ion } from "../../ions/ion-table.js";

/** Acids with a constant above this are not dissociated enough to serve as reference. */
const STRONG_PKA = 2.5;

/** True for an ion whose acid or base is fully dissociated at the detector: fit to serve as reference. */
export function isStrongIon(nameOrFormula: string): boolean {
  const { name, charge, acidConstants = [], limitingMolarConductivity } = ion(nameOrFormula);
  // H⁺ and OH⁻ are what suppression makes of the counter-ion: no peak of their own.
  if (name === "hydrogen" || name === "hydroxide" || limitingMolarConductivity === undefined) return false;
  return charge > 0 ? acidConstants.length === 0 : acidConstants.every((pKa) => pKa <= STRONG_PKA);
}

import { IonbookError } from "../errors.js";
import { acidSystem } from "../ions/acid-systems.js";
import { type Ion, ion } from "../ions/ion-table.js";

/** A dissolved substance as the conductivity cell sees it: the forms that share its amount by the pH. */
export interface CellSolute {
  readonly name: string;
  /** Charge numbers, from the most to the least protonated form. */
  readonly charges: Float64Array;
  /** Limiting conductivity per equivalent of each form, S·cm²/eq (0 for a neutral one). */
  readonly lambdas: Float64Array;
  /** Acid constants between neighbouring forms, mol/L; none for an ion that stays as it is. */
  readonly constants: Float64Array;
}

/**
 * The solute an ion becomes behind the suppressor: the ion itself, or all forms of its acid.
 *
 * @throws IonbookError "unknown-ion"; "no-conductivity" when the table has no limiting conductivity for a form
 * @source conductivities and acid constants: the ion table, which names the source of each
 */
export function cellSolute(name: string): CellSolute {
  const acid = acidSystem(name);
  if (!acid) {
    const strong = ion(name);
    return solute(strong.name, [strong.charge], [conductivityPerEquivalent(strong)], []);
  }
  const forms = acid.forms;
  return solute(
    name,
    forms.map(({ charge }) => charge),
    forms.map(({ charge, ion: of, name: form }) =>
      charge === 0 ? 0 : conductivityPerEquivalent(of ?? ion(form)),
    ),
    acid.pKa.map((pKa) => 10 ** -pKa),
  );
}

/**
 * Mean and variance of the charge of a solute at [H⁺] = h, into `out`: z̄ = Σ z·α_z and Σ (z − z̄)²·α_z, which is
 * d z̄/d ln h. The shares α follow from the stepwise acid constants.
 */
export function chargeMoments({ charges, constants }: CellSolute, h: number, out: Float64Array): void {
  let weight = 1;
  let total = 1;
  let first = charges[0];
  let second = first * first;
  for (let form = 1; form < charges.length; form++) {
    weight *= constants[form - 1] / h;
    const z = charges[form];
    total += weight;
    first += weight * z;
    second += weight * z * z;
  }
  const mean = first / total;
  out[0] = mean;
  out[1] = second / total - mean * mean;
}

/** Share of the form number `form` (0 the most protonated) of a solute at [H⁺] = h. */
export function shareOfForm({ charges, constants }: CellSolute, form: number, h: number): number {
  let weight = 1;
  let total = 1;
  let wanted = 1;
  for (let other = 1; other < charges.length; other++) {
    weight *= constants[other - 1] / h;
    total += weight;
    if (other === form) wanted = weight;
  }
  return wanted / total;
}

function solute(
  name: string,
  charges: readonly number[],
  lambdas: readonly number[],
  constants: readonly number[],
): CellSolute {
  return {
    name,
    charges: Float64Array.from(charges),
    lambdas: Float64Array.from(lambdas),
    constants: Float64Array.from(constants),
  };
}

function conductivityPerEquivalent({ name, charge, limitingMolarConductivity }: Ion): number {
  if (limitingMolarConductivity === undefined) {
    throw new IonbookError(
      "no-conductivity",
      `The ion table has no limiting conductivity for ${name}, so its signal cannot be simulated: choose another ion`,
    );
  }
  return limitingMolarConductivity / Math.abs(charge);
}

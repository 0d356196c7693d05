import { IonbookError } from "../../errors.js";
import { acidSystem } from "../../ions/acid-systems.js";
import { ion } from "../../ions/ion-table.js";
import { hydrogenOverCarbonicAcid } from "./carbonic-acid.js";

/** Ion product of water at 25 °C, (mol/L)². @source CRC Handbook of Chemistry and Physics, pKw 13.9965 (from memory) */
const WATER = 1.008e-14;
const TURNS = 60;

/**
 * What a suppressed ion contributes to conductivity per mole in pure water, S·cm²/mol: of an anion as its acid, of a
 * cation as its hydroxide, weak ones as far as they are dissociated.
 *
 *     Λ = (λ_H·h + λ_OH·K_w/h + Σ |z|·λ·α·c − what water has)/c,  h from electroneutrality
 *
 * 25 °C, no carbonic acid, no ionic strength; for a strong ion well above 1 µmol/L it is |z|(λ_H + λ) or |z|(λ_OH + λ).
 *
 * @param concentration µmol/L at the cell, above 0
 * @throws IonbookError "unknown-ion", "no-conductivity", "bad-concentration"
 * @source electroneutrality with stepwise acid constants (derived); constants as `ion(name).sources`
 */
export function effectiveMolarConductivity(name: string, concentration: number): number {
  if (!(concentration > 0 && Number.isFinite(concentration))) {
    throw new IonbookError(
      "bad-concentration",
      `${concentration} µmol/L of ${name} at the cell: give the concentration in the middle of its peak, above 0`,
    );
  }
  const c = 1e-6 * concentration;
  const forms = formsOf(name);
  const [h, oh] = [conductivityOf("hydrogen"), conductivityOf("hydroxide")];
  const charge = (at: number) => at - WATER / at + c * meanOverForms(forms, at, ({ charge: z }) => z);
  let [low, high] = [-36, 2];
  for (let turn = 0; turn < TURNS; turn++) {
    const middle = 0.5 * (low + high);
    if (charge(Math.exp(middle)) < 0) low = middle;
    else high = middle;
  }
  const at = Math.exp(0.5 * (low + high));
  const pure = Math.sqrt(WATER);
  const ions = c * meanOverForms(forms, at, ({ charge: z, lambda }) => Math.abs(z) * lambda);
  return (h * (at - pure) + oh * (WATER / at - pure) + ions) / c;
}

/** One form of an ion at the detector. */
export interface Form {
  readonly charge: number;
  /** S·cm²/eq */
  readonly lambda: number;
  /** Constant of the step that leads to this form, mol/L; NaN for the most protonated. */
  readonly constant: number;
}

/** The forms of a suppressed ion, from the most to the least protonated. */
export function formsOf(name: string): readonly Form[] {
  const acid = acidSystem(name);
  if (!acid) {
    const { name: own, charge } = ion(name);
    return [{ charge, lambda: conductivityOf(own), constant: Number.NaN }];
  }
  return acid.forms.map(({ charge, ion: of, name: form }, i) => ({
    charge,
    lambda: charge === 0 ? 0 : conductivityOf(of?.name ?? form),
    constant: i === 0 ? Number.NaN : 10 ** -acid.pKa[i - 1],
  }));
}

/** Mean of a property over the forms at [H⁺] = h. */
export function meanOverForms(forms: readonly Form[], h: number, property: (form: Form) => number): number {
  let weight = 1;
  let total = 1;
  let sum = property(forms[0]);
  for (let i = 1; i < forms.length; i++) {
    weight *= forms[i].constant / h;
    total += weight;
    sum += weight * property(forms[i]);
  }
  return sum / total;
}

/** Limiting conductivity per equivalent, S·cm²/eq. @throws IonbookError "unknown-ion", "no-conductivity" */
export function conductivityOf(name: string): number {
  const { charge, limitingMolarConductivity } = ion(name);
  if (limitingMolarConductivity !== undefined) return limitingMolarConductivity / Math.abs(charge);
  throw new IonbookError("no-conductivity", `The ion table has no limiting conductivity for ${name}`);
}

/**
 * By how much more there is of a weak acid than its dissociated charge shows: 1/α, for a charge measured at the middle
 * of its peak. The charge counted for an unknown is a lower bound; times this factor it is the amount, were it an acid
 * of this constant.
 *
 *     1/α = 1 + h/K,   h by `hydrogenOverCarbonicAcid` of the dissociated charge
 *
 * @param dissociated µeq/L at the cell (at the maximum about n_eq/(F·σ·√(2π)))
 * @param pKa 4.76 stands for acetic acid; 6 for nearly everything that still shows
 * @param carbonicAcid total in the cell, µmol/L; without it the acid is alone in water
 * @throws IonbookError "bad-concentration", "bad-pKa"
 * @source electroneutrality and the law of mass action (derived)
 */
export function weakAcidFactor(dissociated: number, pKa: number, carbonicAcid = 0): number {
  if (!(dissociated > 0 && Number.isFinite(dissociated))) {
    throw new IonbookError("bad-concentration", `${dissociated} µeq/L at the cell must be above 0`);
  }
  if (typeof pKa !== "number" || !(pKa > -10 && pKa < 14)) {
    throw new IonbookError("bad-pKa", `${String(pKa)} is no pKa of an acid: give a number up to 14`);
  }
  return 1 + (1e-6 * hydrogenOverCarbonicAcid(dissociated, carbonicAcid)) / 10 ** -pKa;
}

import { IonbookError } from "../../errors.js";
import { acidSystem } from "../../ions/acid-systems.js";
import { ion } from "../../ions/ion-table.js";
import { combineLinear, isMeasuredValue, type MeasuredValue } from "../../uncertainty/measured.js";
import {
  type Concentrations,
  readWater,
  type Solute,
  type WaterInput,
  type WaterOptions,
} from "../analysis/water-input.js";
import { type DissolvedForm, type WaterState, waterState } from "../analysis/water-state.js";
import { type ConductingForm, perEquivalent } from "../conductivity/conductivity-model.js";
import { formFractions } from "../speciation/acid-constants.js";

/** Whose vial an ion was read in; the bottle itself gives pH, alkalinity and conductivity. */
export type Vessel = "cation" | "anion" | "bottle";

/** One ion as plain numbers. */
export interface PlainIon {
  readonly name: string;
  readonly side: "cation" | "anion";
  readonly vessel: Vessel;
  /** meq/L, magnitude; above 0. */
  readonly amount: number;
  /** Its charged forms, with mmol of each for a milliequivalent of the ion. */
  readonly forms: readonly { readonly form: ConductingForm; readonly millimoles: number }[];
  /** S·cm²/eq of the forms together at infinite dilution. */
  readonly lambda: number;
  /** mg for a milliequivalent. */
  readonly mass: number;
  /** Relative standard uncertainty of the amount. */
  readonly relative: number;
}

/** A water as plain numbers: what all hypotheses start from. */
export interface PlainWater {
  readonly ions: readonly PlainIon[];
  /** undefined where not measured. */
  readonly pH: number | undefined;
  /** Whether alkalinity or hydrogencarbonate was given. */
  readonly carbonateKnown: boolean;
  /** Variance of the difference over the sum of the ions' own variances: what shared sources make of it. */
  readonly sharing: number;
}

/** Stand in where no uncertainty is given (common practice, no source). */
const RELATIVE_U = 0.02;
const U_PH = 0.05;
const ALKALINITY_LEAST = 0.02;
/** How far shared sources are believed to widen or narrow the variance of a difference. */
const SHARING: readonly [number, number] = [0.2, 5];
/** What is left of a milliequivalent of hydrogencarbonate when the residue is dried: 0.6 of it as CaCO3, mg. */
const DRIED_CARBONATE = 0.6 * 50.043;

/**
 * Charge, conductivity and mass of each ion of an analysis, in meq/L.
 *
 * @throws IonbookError as `readWater`; "nothing-to-balance"
 */
export function plainWater(concentrations: Concentrations, options: WaterOptions): PlainWater {
  const input = readWater(concentrations, options);
  const state = waterState(input);
  const measured = input.solutes.flatMap((solute, i) => analysed(solute, state, i));
  const ions = [...measured, ...protons(input, state), ...carbonate(input, state)];
  if (ions.length === 0) {
    throw new IonbookError(
      "nothing-to-balance",
      "no charge is found in these concentrations: give at least one ion",
    );
  }
  return {
    ions,
    pH: input.pHAssumed ? undefined : input.pH.value,
    carbonateKnown:
      input.alkalinity !== undefined ||
      state.carbonate > 0 ||
      ions.some(({ name }) => name === "hydrogencarbonate"),
    sharing: sharingOf(input, state),
  };
}

/**
 * Value and relative uncertainty of a number that must be above 0.
 *
 * @param otherwise relative standard uncertainty where the number brings none
 * @throws IonbookError "not-a-number"
 */
export function positiveNumber(given: number | MeasuredValue, otherwise: number, what: string) {
  const isMeasured = isMeasuredValue(given);
  const value = isMeasured ? given.value : given;
  if (!(typeof value === "number" && value > 0 && Number.isFinite(value))) {
    throw new IonbookError(
      "not-a-number",
      `the ${what} is ${typeof given === "string" ? `the text "${given}"` : String(value)}: give a number above 0, or leave it out where it was not measured`,
    );
  }
  const u = isMeasured ? given.u : 0;
  return { value, relative: u > 0 ? u / value : otherwise };
}

/** An ion that was not analysed, as it would stand in the water: all of it in one form or, an acid, at the pH. */
export function ionNotGiven(name: string, pH: number | undefined): PlainIon | undefined {
  const acid = name === "hydrogencarbonate" ? undefined : acidSystem(name);
  if (!acid) return plainIon(name, 1, [{ form: formOf(name), millimoles: 1 }], ion(name).molarMass, 0);
  const fractions = formFractions(acid.pKa, pH ?? 7);
  const forms = acid.forms.map((form, i) => ({ form, millimoles: fractions[i] }));
  const mean = forms.reduce((sum, { form, millimoles }) => sum + form.charge * millimoles, 0);
  if (mean * ion(name).charge <= 0.02) return undefined;
  return plainIon(
    name,
    1,
    forms.filter(({ form }) => form.charge !== 0),
    ion(name).molarMass,
    0,
  );
}

/** Limiting conductivity of an ion per equivalent, S·cm²/eq. */
export function formOf(name: string): ConductingForm {
  const of = ion(name);
  return { name: of.name, charge: of.charge, ion: of };
}

/**
 * @param millimoles of the ion in all
 * @param forms mmol of each charged form in those
 * @param molarMass mg/mmol
 */
function plainIon(
  name: string,
  millimoles: number,
  forms: readonly { readonly form: ConductingForm; readonly millimoles: number }[],
  molarMass: number,
  relative: number,
): PlainIon | undefined {
  const charge = forms.reduce((sum, each) => sum + each.form.charge * each.millimoles, 0);
  const amount = Math.abs(charge);
  if (!(amount > 0)) return undefined;
  const perMeq = forms.map(({ form, millimoles: own }) => ({ form, millimoles: own / amount }));
  return {
    name,
    side: charge > 0 ? "cation" : "anion",
    vessel: vesselOf(name, charge),
    amount,
    forms: perMeq,
    lambda: perMeq.reduce((sum, each) => sum + each.millimoles * molarConductivity(each.form), 0),
    mass: name === "hydrogencarbonate" ? DRIED_CARBONATE : (millimoles * molarMass) / amount,
    relative,
  };
}

function molarConductivity(form: ConductingForm): number {
  return perEquivalent(form) * Math.abs(form.charge);
}

function vesselOf(name: string, charge: number): Vessel {
  if (["hydrogen", "hydroxide", "hydrogencarbonate", "carbonate"].includes(name)) return "bottle";
  return charge > 0 ? "cation" : "anion";
}

function analysed({ ion: of, concentration, acid }: Solute, state: WaterState, i: number) {
  if (!(concentration.value > 0)) return [];
  const millimoles = concentration.value / of.molarMass;
  const names = acid ? new Set(acid.forms.map(({ name }) => name)) : new Set([of.name]);
  const own = state.forms.filter((form) => names.has(form.name)).map(asForm);
  const charge = own.reduce((sum, { form, millimoles: n }) => sum + form.charge * n, 0);
  if (Math.abs(charge - state.meanCharges[i] * millimoles) > 1e-6 * Math.abs(charge)) {
    // Two solutes of one acid were given by their forms: each keeps its own charge.
    const alone = { name: of.name, charge: state.meanCharges[i], ion: of };
    return plainOrNone(of.name, millimoles, [{ form: alone, millimoles }], of.molarMass, concentration);
  }
  return plainOrNone(of.name, millimoles, own, of.molarMass, concentration);
}

function plainOrNone(
  name: string,
  millimoles: number,
  forms: PlainIon["forms"],
  molarMass: number,
  { value, u }: MeasuredValue,
): readonly PlainIon[] {
  const found = plainIon(name, millimoles, forms, molarMass, u > 0 ? u / value : RELATIVE_U);
  return found ? [found] : [];
}

function asForm(form: DissolvedForm) {
  return { form, millimoles: form.amount };
}

function protons({ pH }: WaterInput, { hydrogen, hydroxide }: WaterState): readonly PlainIon[] {
  const relative = Math.LN10 * (pH.u > 0 ? pH.u : U_PH);
  const one = (name: string, amount: number): readonly PlainIon[] => {
    const forms = [{ form: formOf(name), millimoles: amount }];
    const found = amount > 0 ? plainIon(name, amount, forms, ion(name).molarMass, relative) : undefined;
    return found ? [found] : [];
  };
  return [...one("hydrogen", hydrogen), ...one("hydroxide", hydroxide)];
}

function carbonate({ alkalinity }: WaterInput, state: WaterState): readonly PlainIon[] {
  const amount = state.carbonate;
  if (!(amount > 0)) return [];
  const u = alkalinity !== undefined && alkalinity.u > 0 ? alkalinity.u : undefined;
  const relative = (u ?? Math.max(RELATIVE_U * amount, ALKALINITY_LEAST)) / amount;
  const forms = state.forms.slice(-2).map(asForm);
  const found = plainIon("hydrogencarbonate", amount, forms, 1, relative);
  return found ? [found] : [];
}

function sharingOf(input: WaterInput, state: WaterState): number {
  const terms = input.solutes
    .map(({ ion: of, concentration }, i) => ({
      value: concentration,
      factor: state.meanCharges[i] / of.molarMass,
    }))
    .filter(({ value }) => value.u > 0);
  if (terms.length < 2 || terms.length < input.solutes.length) return 1;
  const alone = terms.reduce((sum, { value, factor }) => sum + (factor * value.u) ** 2, 0);
  const together = combineLinear(terms, "meq/L").u ** 2;
  return Math.min(SHARING[1], Math.max(SHARING[0], together / alone));
}

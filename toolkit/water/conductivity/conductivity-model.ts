import { IonbookError } from "../../errors.js";
import type { Ion } from "../../ions/ion-table.js";
import { type IonPair, pairsInForce } from "./ion-pairs.js";
import { pairSolver } from "./pair-solver.js";

/**
 * How conductivities of single ions become that of a water: "onsager", the better form; "standard-methods", kept for reports
 * that use it; "limiting", as if every ion were alone.
 */
export type ConductivityForm = "onsager" | "standard-methods" | "limiting";

const FORMS: readonly ConductivityForm[] = ["onsager", "standard-methods", "limiting"];

/** A charged form as far as conductivity needs to know it. */
export interface ConductingForm {
  readonly name: string;
  readonly charge: number;
  readonly ion: Ion | undefined;
}

/** Mean ± s.d. of limiting conductivities per equivalent, for a form without an entry of its own. */
export const UNKNOWN_ANION = { mean: 59.0, u: 15.6 };
export const UNKNOWN_CATION = { mean: 58.6, u: 12 };

/**
 * The conductivity at 25 °C, µS/cm, of a water of given forms, as a function of their concentrations in mmol/L: for many
 * evaluations of plain numbers. Set up once for the forms; an evaluation takes no memory.
 *
 * @param forms the charged forms, in the order of the concentrations
 * @param form see `computedConductivity`, whose formulas these are
 * @param pairs ion pairs to take out of the free forms, true for `ION_PAIRS`; those of absent ions are ignored
 * @throws IonbookError "bad-option"; "bad-amounts" from the function where another number of concentrations comes
 * @source as `computedConductivity`
 */
export function conductivityModel(
  forms: readonly ConductingForm[],
  form: ConductivityForm = "onsager",
  pairs: boolean | readonly IonPair[] = false,
): (amounts: ArrayLike<number>) => number {
  requireForms(forms);
  requireForm(form);
  const solver = pairSolver(forms, pairsInForce(pairs));
  const charges = Float64Array.from([...forms.map(({ charge }) => charge), ...solver.charges]);
  const lambdas = Float64Array.from([
    ...forms.map(perEquivalent),
    ...solver.pairs.map((each) => each.perEquivalent),
  ]);
  const free = new Float64Array(forms.length);
  const all = new Float64Array(charges.length);
  const sum = form === "onsager" ? onsagerSum : limitingSum;
  return (amounts) => {
    if (amounts?.length !== free.length) throw otherAmounts(amounts, free.length);
    for (let i = 0; i < free.length; i++) free[i] = amounts[i];
    const strength = solver.solve(free);
    all.set(free);
    all.set(solver.bound, free.length);
    const root = Math.sqrt(strength);
    const relative = root / (1 + root);
    const kappa = sum(all, charges, lambdas, relative);
    return form === "standard-methods" ? kappa * 10 ** -(relative - 0.3 * strength) : kappa;
  };
}

/** @throws IonbookError "bad-option" */
export function requireForm(form: unknown): void {
  if ((FORMS as readonly unknown[]).includes(form)) return;
  throw new IonbookError(
    "bad-option",
    `the form of a computed conductivity is ${FORMS.map((name) => `"${name}"`).join(", ")}, not ${JSON.stringify(form)}`,
  );
}

function requireForms(forms: unknown): void {
  const isForm = (form: unknown): boolean => {
    const { name, charge } = Object(form) as Partial<ConductingForm>;
    return typeof name === "string" && Number.isFinite(charge);
  };
  if (Array.isArray(forms) && forms.every(isForm)) return;
  throw new IonbookError(
    "bad-option",
    'a model of conductivity takes its forms first: [{ name: "sodium", charge: 1, ion: ion("sodium") }, …]',
  );
}

function otherAmounts(amounts: unknown, wanted: number): IonbookError {
  const given = Object(amounts).length ?? "no list";
  return new IonbookError("bad-amounts", `${given} concentrations were given for ${wanted} forms, in mmol/L`);
}

/** Limiting conductivity per equivalent, S·cm²/eq; the mean of its class for a form without its own. */
export function perEquivalent({ ion, charge }: ConductingForm): number {
  if (charge === 0) return 0;
  const molar = ion?.limitingMolarConductivity;
  if (molar !== undefined) return molar / Math.abs(charge);
  return charge > 0 ? UNKNOWN_CATION.mean : UNKNOWN_ANION.mean;
}

function limitingSum(amounts: Float64Array, charges: Float64Array, lambdas: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < amounts.length; i++) sum += amounts[i] * Math.abs(charges[i]) * lambdas[i];
  return sum;
}

function onsagerSum(
  amounts: Float64Array,
  charges: Float64Array,
  lambdas: Float64Array,
  relative: number,
): number {
  const anions = meanCharge(amounts, charges, -1);
  const cations = meanCharge(amounts, charges, 1);
  let sum = 0;
  for (let i = 0; i < amounts.length; i++) {
    const z = Math.abs(charges[i]);
    const opposite = charges[i] > 0 ? anions : cations;
    const slowed = lambdas[i] - (30.3 * z + 0.229 * z * opposite * lambdas[i]) * relative;
    sum += slowed * amounts[i] * z;
  }
  return sum;
}

/** Mean charge number of one side, weighted by equivalents; 1 where that side is empty. */
function meanCharge(amounts: Float64Array, charges: Float64Array, sign: 1 | -1): number {
  let weighted = 0;
  let sum = 0;
  for (let i = 0; i < amounts.length; i++) {
    const z = sign * charges[i];
    if (z <= 0) continue;
    weighted += amounts[i] * z * z;
    sum += amounts[i] * z;
  }
  return sum === 0 ? 1 : weighted / sum;
}

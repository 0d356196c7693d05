import { IonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { convert } from "../../ions/units.js";
import { combineLinear, exactly, isMeasuredValue, type MeasuredValue } from "../../uncertainty/measured.js";
import { readWater } from "../analysis/water-input.js";
import { isBelow, type Term } from "./bounded.js";

/** Concentrations by ion, mg/L; `{ below: 0.05 }` for what was found below 0.05 mg/L. */
export type BoundedConcentrations = Readonly<
  Record<string, number | MeasuredValue | { readonly below: number }>
>;

/** A water as its figures are computed from it. */
export interface FigureInput {
  /** mg/L by IUPAC name of the ion. */
  readonly terms: Readonly<Record<string, Term>>;
  /** mg/L as CaCO3; from hydrogencarbonate and carbonate where those are given. */
  readonly alkalinity: Term | undefined;
}

/**
 * Concentrations checked, ions resolved, limits kept apart.
 *
 * @throws IonbookError as `chargeBalance`; "bad-limit" for a limit that is not above 0
 */
export function readFigureInput(
  concentrations: BoundedConcentrations,
  alkalinity: number | MeasuredValue | undefined,
): FigureInput {
  if (typeof concentrations !== "object" || concentrations === null || Array.isArray(concentrations)) {
    throw new IonbookError(
      "no-concentrations",
      "figures of a water take mg/L by ion: { chloride: 35.4, bromide: { below: 0.05 } }",
    );
  }
  const terms: Record<string, Term> = {};
  const known: Record<string, number | MeasuredValue> = {};
  for (const [key, value] of Object.entries(concentrations)) {
    if (isLimit(value)) terms[nameOf(key, terms)] = requireLimit(value, key);
    else known[key] = value;
  }
  for (const { ion: of, concentration } of readWater(known).solutes) {
    requireNew(of.name, terms);
    terms[of.name] = concentration;
  }
  return { terms, alkalinity: alkalinityOf(terms, alkalinity) };
}

function isLimit(value: unknown): value is { readonly below: number } {
  return typeof value === "object" && value !== null && !isMeasuredValue(value) && "below" in value;
}

function nameOf(key: string, terms: Readonly<Record<string, Term>>): string {
  const { name } = ion(key);
  requireNew(name, terms);
  return name;
}

function requireNew(name: string, terms: Readonly<Record<string, Term>>): void {
  if (!(name in terms)) return;
  throw new IonbookError("duplicate-ion", `${name} is given twice: give one of them`);
}

function requireLimit(value: { readonly below: number }, key: string): { readonly below: number } {
  if (typeof value.below === "number" && value.below > 0 && Number.isFinite(value.below)) return value;
  throw new IonbookError(
    "bad-limit",
    `${key} is said to lie below ${String(value.below)}: give a limit in mg/L above 0, { below: 0.05 }`,
  );
}

function alkalinityOf(
  terms: Readonly<Record<string, Term>>,
  given: number | MeasuredValue | undefined,
): Term | undefined {
  if (given !== undefined) return requireAmount(given, "alkalinity");
  const { hydrogencarbonate, carbonate } = terms;
  if (hydrogencarbonate === undefined) return undefined;
  const factor = (name: string): number => convert(1, "mg/L", "mg/L as CaCO3", name);
  if (isBelow(hydrogencarbonate)) return { below: factor("hydrogencarbonate") * hydrogencarbonate.below };
  const parts = [{ value: hydrogencarbonate, factor: factor("hydrogencarbonate") }];
  if (carbonate !== undefined && !isBelow(carbonate))
    parts.push({ value: carbonate, factor: factor("carbonate") });
  return combineLinear(parts, "mg/L");
}

/** A number or measured value that is not below 0. @throws IonbookError "not-a-number" */
export function requireAmount(value: unknown, what: string, unit = "mg/L"): MeasuredValue {
  const amount = typeof value === "number" && Number.isFinite(value) ? exactly(value, unit) : value;
  if (isMeasuredValue(amount) && amount.value >= 0) {
    if (amount.unit === unit || amount.unit.startsWith(`${unit} as `)) return amount;
    throw new IonbookError("unit-mismatch", `${what} is given in "${amount.unit}"; it is wanted in ${unit}`);
  }
  throw new IonbookError(
    "not-a-number",
    `${what} is ${String(value)}: give ${unit}, 0 or more, or leave it out`,
  );
}

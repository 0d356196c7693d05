import { IonbookError } from "../../errors.js";
import { nearestNames } from "../../ions/nearest-names.js";

/** What is believed of an unidentified ion; decides the conductivity it is counted with. */
export type UnknownClass = "any anion" | "inorganic anion" | "organic anion" | "any cation";

/** Limiting conductivity of a fully dissociated ion with its suppressed counter-ion, S·cm²/eq. */
export interface ClassConductivity {
  readonly mean: number;
  /** Standard deviation over the ions of the class. */
  readonly spread: number;
  /** The counter-ion that suppression leaves: H⁺ of acids, OH⁻ of bases. */
  readonly partner: "hydrogen" | "hydroxide";
  readonly sign: 1 | -1;
  /** Whether an ion of the class may be the ion of a weak acid or base. */
  readonly weak: boolean;
}

/** Source: mean and s.d. over the limiting conductivities of 20 inorganic, 16 organic anions and 13 cations of handbook tables. */
const CLASSES: Readonly<Record<UnknownClass, ClassConductivity>> = {
  "any anion": { mean: 409, spread: 15.6, partner: "hydrogen", sign: -1, weak: true },
  "inorganic anion": { mean: 418, spread: 11.5, partner: "hydrogen", sign: -1, weak: false },
  "organic anion": { mean: 397, spread: 10.5, partner: "hydrogen", sign: -1, weak: true },
  "any cation": { mean: 257, spread: 12, partner: "hydroxide", sign: 1, weak: true },
};

/** @throws IonbookError "bad-option" for a class that is not known */
export function classConductivity(name: UnknownClass): ClassConductivity {
  if (Object.hasOwn(CLASSES, name)) return CLASSES[name];
  const known = Object.keys(CLASSES);
  const [nearest] = nearestNames(String(name), known);
  const hint = nearest === undefined ? "" : `; did you mean "${nearest}"?`;
  throw new IonbookError(
    "bad-option",
    `there is no class "${String(name)}"${hint} An unidentified ion is counted as one of ${known.join(", ")}`,
  );
}

import { IonbookError } from "../errors.js";
import { studentQuantile } from "../numeric/distributions.js";
import { checkReplicates, meanOf, standardDeviationOf } from "./check-replicates.js";
import { type Shown, shown } from "./shown.js";

export interface MethodDetectionLimit extends Shown {
  readonly kind: "method-detection-limit";
  /** The larger of the two. */
  readonly mdl: number;
  readonly mdlFromFortified: number;
  /** `undefined` where no blanks were given or none has a number. */
  readonly mdlFromBlanks: number | undefined;
  /** n − 1 of the fortified blanks. */
  readonly dof: number;
  /** t(0.99, dof) of the fortified blanks. */
  readonly t: number;
  /** Which rule gave `mdlFromBlanks`. */
  readonly blankRule: string;
}

/** Above so many blanks with gaps, a rank takes the place of the highest. */
const MANY_BLANKS = 100;

/**
 * Method detection limit of the US rule, in the unit of the data (mg/L):
 *
 *     MDL_s = t(0.99, n − 1)·s                    n ≥ 7 fortified blanks through the whole procedure
 *     MDL_b = max(0, x̄) + t(0.99, n_b − 1)·s_b    all blanks numeric, n_b ≥ 7
 *     MDL_b = the highest blank                   some blanks without a number (null)
 *     MDL_b = the blank of rank round(0.99·n_b)   the same, more than 100 blanks
 *     MDL   = max(MDL_s, MDL_b)
 *
 * A `null` blank gave no number; it is no zero. Where no blank gave a number MDL_b does not apply. The rule also
 * asks for spikes of 2 to 10 times the estimate and for at least three batches on three dates. At exactly 100
 * blanks the rule's text allows the highest and the rank; the highest is taken.
 *
 * @throws IonbookError "too-few-replicates", "not-a-number"
 * @source US 40 CFR Part 136, Appendix B, Revision 2 (2017), section II (2)
 */
export function methodDetectionLimit(data: {
  readonly fortified: readonly number[];
  readonly blanks?: readonly (number | null)[];
}): MethodDetectionLimit {
  requireFortified(data);
  const { fortified, blanks = [] } = data;
  checkReplicates(fortified, "fortified blanks");
  const dof = fortified.length - 1;
  const t = studentQuantile(0.99, dof);
  const mdlFromFortified = t * standardDeviationOf(fortified);
  const fromBlanks = blanks.length > 0 ? blankLimit(blanks) : undefined;
  const mdlFromBlanks = fromBlanks?.limit;
  const mdl = Math.max(mdlFromFortified, mdlFromBlanks ?? 0);
  const blankRule = fromBlanks?.rule ?? "no blanks given";
  const blanksText = mdlFromBlanks === undefined ? "" : `, from blanks ${mdlFromBlanks.toPrecision(3)}`;
  return shown(
    { kind: "method-detection-limit", mdl, mdlFromFortified, mdlFromBlanks, dof, t, blankRule } as const,
    `method detection limit ${mdl.toPrecision(3)} (40 CFR 136 App. B, rev. 2): ` +
      `from fortified blanks ${mdlFromFortified.toPrecision(3)}${blanksText} (${blankRule})`,
  );
}

function blankLimit(blanks: readonly (number | null)[]): { limit: number | undefined; rule: string } {
  const numbers = blanks.filter((blank): blank is number => blank !== null);
  const bad = numbers.find((value) => !Number.isFinite(value));
  if (bad !== undefined) {
    throw new IonbookError("not-a-number", `A blank is ${bad}: give its number, or null where it gave none`);
  }
  if (numbers.length === 0) return { limit: undefined, rule: "no blank gave a number" };
  if (numbers.length === blanks.length) {
    checkReplicates(numbers, "blanks");
    const limit =
      Math.max(0, meanOf(numbers)) + studentQuantile(0.99, numbers.length - 1) * standardDeviationOf(numbers);
    return { limit, rule: "mean (not below zero) plus t times the standard deviation of the blanks" };
  }
  // Blanks without a number rank below all others.
  const sorted = [...numbers].sort((a, b) => a - b);
  if (blanks.length <= MANY_BLANKS) {
    return { limit: sorted[sorted.length - 1], rule: "highest blank, as some gave no number" };
  }
  const rank = Math.round(blanks.length * 0.99);
  const place = rank - (blanks.length - numbers.length) - 1;
  if (place < 0)
    return { limit: undefined, rule: `the blank of rank ${rank} of ${blanks.length} gave no number` };
  return { limit: sorted[place], rule: `blank of rank ${rank} of ${blanks.length}, as some gave no number` };
}

function requireFortified(data: unknown): void {
  if (typeof data === "object" && data !== null && "fortified" in data && Array.isArray(data.fortified))
    return;
  throw new IonbookError(
    "too-few-replicates",
    "The rule needs at least 7 fortified blanks, by name: methodDetectionLimit({ fortified: [0.11, 0.09, …], blanks: [0.01, …] })",
  );
}

import { IonbookError } from "../../errors.js";
import { type Ion, ion } from "../../ions/ion-table.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { convert } from "../../ions/units.js";
import { combineLinear, exactly, type MeasuredValue, plus } from "../../uncertainty/measured.js";
import { isStrongIon } from "./strong-ion.js";
import type { PeakInCell } from "./unknown-cell.js";
import type { ClassConductivity } from "./unknown-class.js";

/** A calibrated strong ion at the area of the unknown. */
export interface ReferenceAtArea {
  readonly ion: string;
  /** mg/L injected that give the unknown's area: read from the ion's calibration. */
  readonly concentration: number | MeasuredValue;
  /**
   * Slope of the calibration at this area over its slope at high concentration; 1 where the response is straight, down to
   * about 0.56 where dissolved carbon dioxide governs it. Default: from `cell`, else 1.
   */
  readonly slopeRatio?: number;
}

/** c_eq·Λ of one reference, µeq/L·S·cm²/eq. */
export function conductivityProduct(
  reference: ReferenceAtArea,
  about: ClassConductivity,
  peak: PeakInCell | undefined,
): MeasuredValue {
  requireKnownOptions<ReferenceAtArea>(
    reference,
    { ion: true, concentration: true, slopeRatio: true },
    "each of the references",
  );
  const of = ion(reference.ion);
  if (Math.sign(of.charge) !== about.sign) {
    throw new IonbookError("bad-reference", `${of.name} does not have the charge of the unidentified ion`);
  }
  if (!isStrongIon(of.name)) {
    throw new IonbookError(
      "weak-reference",
      `${of.name} is not fully dissociated at the detector, or its conductivity is not known: leave it out`,
    );
  }
  const { slopeRatio = 1, concentration } = reference;
  const value = typeof concentration === "number" ? concentration : concentration.value;
  if (!(value > 0 && Number.isFinite(value) && slopeRatio > 0)) {
    throw new IonbookError(
      "bad-reference",
      `${of.name}: concentration ${value} mg/L and slope ratio ${slopeRatio} must both be positive`,
    );
  }
  const factor = convert(1, "mg/L", "µeq/L", of.name) * productPerEquivalent(reference, of, about, peak);
  const term = typeof concentration === "number" ? exactly(concentration, "mg/L") : concentration;
  return combineLinear([{ value: term, factor }], "µeq/L");
}

/** Λ_ref, or, where the cell is known, Λ̄ times the amount of the class's mean that has the area of one equivalent. */
function productPerEquivalent(
  { slopeRatio }: ReferenceAtArea,
  of: Ion,
  about: ClassConductivity,
  peak: PeakInCell | undefined,
): number {
  if (peak === undefined || slopeRatio !== undefined) return equivalentConductivity(of, about);
  return about.mean * peak.perReference((of.limitingMolarConductivity ?? Number.NaN) / Math.abs(of.charge));
}

function equivalentConductivity(of: Ion, about: ClassConductivity): number {
  const own = of.limitingMolarConductivity ?? Number.NaN;
  return own / Math.abs(of.charge) + (ion(about.partner).limitingMolarConductivity ?? Number.NaN);
}

/** The arithmetic mean of γ = A/(c·Λ) is the harmonic mean of c·Λ. */
export function harmonicMean(products: readonly MeasuredValue[], divisor: number): MeasuredValue {
  const inverse = products.reduce((sum, { value }) => sum + 1 / value, 0);
  const mean = products.length / inverse;
  const terms = products.map((value) => ({
    value,
    factor: mean / value.value / inverse / value.value / divisor,
  }));
  const linear = combineLinear(terms, "µeq/L");
  return plus(linear, mean / divisor - linear.value);
}

export function spreadOfMean(products: readonly MeasuredValue[]): number {
  const n = products.length;
  if (n < 2) return 0;
  const gammas = products.map(({ value }) => 1 / value);
  const mean = gammas.reduce((sum, gamma) => sum + gamma, 0) / n;
  const variance = gammas.reduce((sum, gamma) => sum + (gamma / mean - 1) ** 2, 0) / (n - 1);
  return Math.sqrt(variance / n);
}

export function meanSlopeRatio(references: readonly ReferenceAtArea[], peak: PeakInCell | undefined): number {
  const own = peak?.slopeRatio ?? 1;
  return references.reduce((sum, { slopeRatio = own }) => sum + slopeRatio, 0) / references.length;
}

import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { type Ion, ion } from "../../ions/ion-table.js";
import { convert } from "../../ions/units.js";
import {
  combineLinear,
  exactly,
  type MeasuredValue,
  measured,
  plus,
  times,
} from "../../uncertainty/measured.js";

/** What is believed of an unidentified ion; decides the conductivity it is counted with. */
export type UnknownClass = "any anion" | "inorganic anion" | "organic anion" | "any cation";

/** Limiting conductivity of a fully dissociated ion with its suppressed counter-ion, S·cm²/eq. */
interface ClassConductivity {
  readonly mean: number;
  /** Standard deviation over the ions of the class. */
  readonly spread: number;
  /** The counter-ion that suppression leaves: H⁺ of acids, OH⁻ of bases. */
  readonly partner: "hydrogen" | "hydroxide";
  readonly sign: 1 | -1;
}

/** Source: mean and s.d. over the limiting conductivities of 20 inorganic, 16 organic anions and 13 cations of handbook tables. */
const CLASSES: Readonly<Record<UnknownClass, ClassConductivity>> = {
  "any anion": { mean: 409, spread: 15.6, partner: "hydrogen", sign: -1 },
  "inorganic anion": { mean: 418, spread: 11.5, partner: "hydrogen", sign: -1 },
  "organic anion": { mean: 397, spread: 10.5, partner: "hydrogen", sign: -1 },
  "any cation": { mean: 257, spread: 12, partner: "hydroxide", sign: 1 },
};
/** Acids with a constant above this are not dissociated enough to serve as reference. */
const STRONG_PKA = 2.5;

/** A calibrated strong ion at the area of the unknown. */
export interface ReferenceAtArea {
  readonly ion: string;
  /** mg/L injected that give the unknown's area: read from the ion's calibration. */
  readonly concentration: number | MeasuredValue;
  /**
   * Slope of the calibration at this area over its slope at high concentration; 1 (default) where the response is
   * straight, down to about 0.56 where dissolved carbon dioxide governs it.
   */
  readonly slopeRatio?: number;
}

export interface UnknownRequest {
  /**
   * Area of the unidentified peak, µS/cm·min. Its relative uncertainty enters only where a reference concentration is a
   * plain number: a `MeasuredValue` read from a calibration at this area carries it already.
   */
  readonly area: number | MeasuredValue;
  readonly references: readonly ReferenceAtArea[];
  readonly class?: UnknownClass;
  /** Name of the unknown ("unknown-1"): its unknown conductivity is one shared source wherever it is found. */
  readonly name?: string;
}

export interface UnknownEquivalents {
  readonly kind: "unknown-equivalents";
  /** µeq/L in the injected solution. For a weak acid a lower bound: only dissociated charge is seen. */
  readonly microequivalents: MeasuredValue;
  readonly class: UnknownClass;
  /** What each reference alone would give, µeq/L. */
  readonly byReference: readonly { readonly ion: string; readonly microequivalents: number }[];
  /** Relative standard uncertainty from not knowing the ion. */
  readonly classUncertainty: number;
  readonly note: string;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** True for an ion whose acid or base is fully dissociated at the detector: fit to serve as reference. */
export function isStrongIon(nameOrFormula: string): boolean {
  const { name, charge, acidConstants = [], limitingMolarConductivity } = ion(nameOrFormula);
  // H⁺ and OH⁻ are what suppression makes of the counter-ion: no peak of their own.
  if (name === "hydrogen" || name === "hydroxide" || limitingMolarConductivity === undefined) return false;
  return charge > 0 ? acidConstants.length === 0 : acidConstants.every((pKa) => pKa <= STRONG_PKA);
}

/**
 * Charge equivalents of an unidentified ion from its area alone, µeq/L injected, with uncertainty.
 *
 * A suppressed conductivity area is A = γ·1000·Λ·n_eq/F, Λ = λ(H⁺) + λ(anion) per equivalent, n_eq the equivalents
 * injected, F flow, γ the common instrument factor. At the same area, loop volume, flow and γ cancel:
 * c_eq = m·Λᵣ/Λ̄, m the harmonic mean of c_eq,ref·Λ_ref over the references (the arithmetic mean of γ), Λ̄ the class mean.
 * u²/c² = (s/(Λ̄·g))² + spread²/n + u²(calibrations) + u²(A)/A²; s spread of the class, g mean slope ratio, spread the
 * relative standard deviation of the n references.
 *
 * Valid for strong acids (or, class "any cation", strong bases); the charge of a weak one is a lower bound.
 *
 * @throws IonbookError "no-reference" without a reference, "weak-reference" for an ion that is not fully dissociated,
 *   "bad-reference" for one of the other charge, without a positive concentration or with a slope ratio that is not
 *   positive; "bad-area"; "unknown-ion"
 * @source area theorem from F. Kohlrausch's law; class means over the handbook tables named in `ion(name).sources`
 */
export function unknownAnionEquivalents(request: UnknownRequest): UnknownEquivalents {
  const { area, references, name } = request;
  const kind = request.class ?? "any anion";
  const about = CLASSES[kind];
  requireArea(area);
  if (references.length === 0) {
    throw new IonbookError(
      "no-reference",
      "no calibrated strong ion is given: the charge of an unknown is counted against at least one (chloride, nitrate, sulfate)",
    );
  }
  const products = references.map((reference) => conductivityProduct(reference, about));
  const classUncertainty = about.spread / (about.mean * meanSlopeRatio(references));
  const factors = [
    relativeError(`conductivity of ${name}`, classUncertainty, name),
    relativeError(`agreement of the reference ions for ${name}`, spreadOfMean(products), name),
    // Read from calibrations at this area, the references carry its uncertainty already.
    ...(typeof area === "object" && products.every(({ u }) => u === 0)
      ? [combineLinear([{ value: area, factor: 1 / area.value }], "1")]
      : []),
  ];
  const microequivalents = factors.reduce(
    (value, factor) => times(value, factor),
    harmonicMean(products, about.mean),
  );
  const result: UnknownEquivalents = {
    kind: "unknown-equivalents",
    microequivalents,
    class: kind,
    byReference: references.map((reference, i) => ({
      ion: ion(reference.ion).name,
      microequivalents: products[i].value / about.mean,
    })),
    classUncertainty,
    note: "counted as a fully dissociated ion; for a weak acid or base this is a lower bound",
    toString: () => `${String(microequivalents)} injected, ${kind} (${result.note})`,
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

/** A factor 1 with a relative uncertainty; shared by name, or its own where the unknown has none. */
function relativeError(source: string, u: number, name: string | undefined): MeasuredValue {
  return measured(1, "1", { u }, name === undefined ? {} : { source });
}

function requireArea(area: number | MeasuredValue): void {
  const value = typeof area === "number" ? area : area.value;
  if (value > 0 && Number.isFinite(value)) return;
  throw new IonbookError(
    "bad-area",
    `the area is ${value}; an unidentified ion is counted from a positive area`,
  );
}

/** c_eq·Λ of one reference, µeq/L·S·cm²/eq. */
function conductivityProduct(reference: ReferenceAtArea, about: ClassConductivity): MeasuredValue {
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
  const factor = convert(1, "mg/L", "µeq/L", of.name) * equivalentConductivity(of, about);
  const term = typeof concentration === "number" ? exactly(concentration, "mg/L") : concentration;
  return combineLinear([{ value: term, factor }], "µeq/L");
}

function equivalentConductivity(of: Ion, about: ClassConductivity): number {
  const own = of.limitingMolarConductivity ?? Number.NaN;
  return own / Math.abs(of.charge) + (ion(about.partner).limitingMolarConductivity ?? Number.NaN);
}

/** The arithmetic mean of γ = A/(c·Λ) is the harmonic mean of c·Λ. */
function harmonicMean(products: readonly MeasuredValue[], divisor: number): MeasuredValue {
  const inverse = products.reduce((sum, { value }) => sum + 1 / value, 0);
  const mean = products.length / inverse;
  const terms = products.map((value) => ({
    value,
    factor: mean / value.value / inverse / value.value / divisor,
  }));
  const linear = combineLinear(terms, "µeq/L");
  return plus(linear, mean / divisor - linear.value);
}

function spreadOfMean(products: readonly MeasuredValue[]): number {
  const n = products.length;
  if (n < 2) return 0;
  const gammas = products.map(({ value }) => 1 / value);
  const mean = gammas.reduce((sum, gamma) => sum + gamma, 0) / n;
  const variance = gammas.reduce((sum, gamma) => sum + (gamma / mean - 1) ** 2, 0) / (n - 1);
  return Math.sqrt(variance / n);
}

function meanSlopeRatio(references: readonly ReferenceAtArea[]): number {
  return references.reduce((sum, { slopeRatio = 1 }) => sum + slopeRatio, 0) / references.length;
}

import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import {
  type CoverageInterval,
  combineLinear,
  type MeasuredValue,
  measured,
  times,
} from "../../uncertainty/measured.js";
import type { UnknownCharge } from "../balance/unknown-charge.js";
import {
  conductivityProduct,
  harmonicMean,
  meanSlopeRatio,
  type ReferenceAtArea,
  spreadOfMean,
} from "./reference-products.js";
import { type PeakInCell, peakInCell, type UnknownCell, type WeakAcidFactor } from "./unknown-cell.js";
import { type ClassConductivity, classConductivity, type UnknownClass } from "./unknown-class.js";

export { isStrongIon } from "./strong-ion.js";

export interface UnknownRequest {
  /**
   * Area of the unidentified peak, µS/cm·min. Its relative uncertainty enters only where a reference concentration is a
   * plain number: a `MeasuredValue` read from a calibration at this area carries it already.
   */
  readonly area: number | MeasuredValue;
  readonly references: readonly ReferenceAtArea[];
  /** @default "any anion" */
  readonly class?: UnknownClass;
  /** Name of the unknown ("unknown-1"): its unknown conductivity is one shared source wherever it is found. */
  readonly name?: string;
  /** The peak as the cell saw it, for anions: how far carbonic acid bends the response, and what a weak acid hides. */
  readonly cell?: UnknownCell;
}

export interface UnknownEquivalents {
  readonly kind: "unknown-equivalents";
  /** µeq/L in the injected solution: the dissociated charge, which is all that is seen. */
  readonly microequivalents: MeasuredValue;
  /** True where the ion may be that of a weak acid or base: there is at least as much charge as counted. */
  readonly lowerBound: boolean;
  /** µeq/L, were it an acid of pKa 6; undefined where the cell is not given or nothing is hidden. */
  readonly upper: MeasuredValue | undefined;
  /** What the count is to be multiplied with, were it an acid of pKa 4.76 or of 6; empty without `cell`. */
  readonly weakAcid: readonly WeakAcidFactor[];
  /** The same as `chargeBalance` takes it for `unknownAnions`, in a solution that was injected undiluted. */
  readonly charge: UnknownCharge;
  readonly class: UnknownClass;
  /** What each reference alone would give, µeq/L. */
  readonly byReference: readonly { readonly ion: string; readonly microequivalents: number }[];
  /** Relative standard uncertainty from not knowing the ion. */
  readonly classUncertainty: number;
  /** Mean slope ratio γ_loc that widened it. */
  readonly slopeRatio: number;
  readonly note: string;
  /**
   * Coverage interval of the dissociated charge, µeq/L: n̂/(1 + k·u/n̂) to n̂/(1 − k·u/n̂). What is uncertain is the
   * conductivity, and the charge goes with its inverse: the symmetric interval of `microequivalents` reaches too low.
   *
   * @param level coverage probability, default 0.95
   * @throws IonbookError "bad-level" unless 0 < level < 1
   */
  interval(level?: number): CoverageInterval;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/**
 * Charge equivalents of an unidentified ion from its area alone, µeq/L injected, with uncertainty.
 *
 * A suppressed conductivity area is A = γ·1000·Λ·n_eq/F, Λ = λ(H⁺) + λ(anion) per equivalent, n_eq the equivalents
 * injected, F flow, γ the common instrument factor. At the same area, loop volume, flow and γ cancel:
 * c_eq = m·Λᵣ/Λ̄, m the harmonic mean of c_eq,ref·Λ_ref over the references (the arithmetic mean of γ), Λ̄ the class mean.
 * u²/c² = (s/(Λ̄·g))² + spread²/n + u²(calibrations) + u²(A)/A²; s spread of the class, g mean slope ratio, spread the
 * relative standard deviation of the n references. With `cell`, g is that of a strong acid's peak of this height over the
 * carbonic acid given, and Λ_ref/Λ̄ becomes the ratio of amounts that have equal areas there.
 *
 * Valid for strong acids (or, class "any cation", strong bases); the charge of a weak one is a lower bound. With `cell` the
 * factors for acids of pKa 4.76 and 6 are told, 1 + h/K at the middle of the peak: where the constant is not known, the
 * charge lies between the count and the count times the second factor.
 *
 * @throws IonbookError "no-reference" without a reference, "weak-reference" for an ion that is not fully dissociated,
 *   "bad-reference" for one of the other charge, without a positive concentration or with a slope ratio that is not
 *   positive; "bad-area", "unknown-ion", "unknown-option", "bad-option", "bad-background", "bad-concentration"
 * @source area theorem from F. Kohlrausch's law; class means over the handbook tables named in `ion(name).sources`
 */
export function unknownAnionEquivalents(request: UnknownRequest): UnknownEquivalents {
  requireKnownOptions<UnknownRequest>(
    request,
    { area: true, references: true, class: true, name: true, cell: true },
    "unknownAnionEquivalents",
  );
  const { references, class: kind = "any anion" } = request;
  const about = classConductivity(kind);
  requireArea(request.area);
  requireReferences(references);
  const peak = request.cell === undefined ? undefined : cellOf(request.cell, about);
  const products = references.map((reference) => conductivityProduct(reference, about, peak));
  const slopeRatio = meanSlopeRatio(references, peak);
  const classUncertainty = about.spread / (about.mean * slopeRatio);
  const microequivalents = countedWith(request, products, about, classUncertainty);
  const weakAcid = about.weak ? (peak?.weakAcid ?? []) : [];
  const most = weakAcid.at(-1)?.factor;
  const upper = most === undefined ? undefined : times(microequivalents, most);
  const result: UnknownEquivalents = {
    kind: "unknown-equivalents",
    microequivalents,
    lowerBound: about.weak,
    upper,
    weakAcid,
    charge: chargeOf(microequivalents, about.weak, upper),
    class: kind,
    byReference: references.map((reference, i) => ({
      ion: ion(reference.ion).name,
      microequivalents: products[i].value / about.mean,
    })),
    classUncertainty,
    slopeRatio,
    note: noteOf(about, weakAcid),
    interval: (level) => inverseInterval(microequivalents, level),
    toString: () => `${about.weak ? "≥ " : ""}${String(microequivalents)} injected, ${kind} (${result.note})`,
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function countedWith(
  { area, name }: UnknownRequest,
  products: readonly MeasuredValue[],
  about: ClassConductivity,
  classUncertainty: number,
): MeasuredValue {
  const factors = [
    relativeError(`conductivity of ${name}`, classUncertainty, name),
    relativeError(
      `agreement of the reference ions for ${name}`,
      spreadOfMean(products),
      name,
      products.length - 1,
    ),
    // Read from calibrations at this area, the references carry its uncertainty already.
    ...(typeof area === "object" && products.every(({ u }) => u === 0)
      ? [combineLinear([{ value: area, factor: 1 / area.value }], "1")]
      : []),
  ];
  return factors.reduce((value, factor) => times(value, factor), harmonicMean(products, about.mean));
}

function inverseInterval(counted: MeasuredValue, level?: number): CoverageInterval {
  const { k, level: used } = counted.interval(level);
  const part = (k * counted.u) / counted.value;
  return {
    low: counted.value / (1 + part),
    high: part < 1 ? counted.value / (1 - part) : Number.POSITIVE_INFINITY,
    k,
    level: used,
  };
}

function chargeOf(least: MeasuredValue, weak: boolean, most: MeasuredValue | undefined): UnknownCharge {
  if (!weak) return least;
  return most === undefined ? { lowerBound: least } : { low: least, high: most };
}

function noteOf(about: ClassConductivity, weakAcid: readonly WeakAcidFactor[]): string {
  if (!about.weak) return "counted as a fully dissociated ion";
  const factors = weakAcid.map(
    ({ pKa, factor }) => `${Number(factor.toPrecision(3))} were it an acid of pKa ${pKa}`,
  );
  const what = about.sign < 0 ? "acid" : "base";
  return `counted as a fully dissociated ion; for a weak ${what} this is a lower bound${factors.length === 0 ? "" : `, times ${factors.join(", ")}`}`;
}

/** @throws IonbookError "bad-option" for a cell beside a cation */
function cellOf(cell: UnknownCell, about: ClassConductivity): PeakInCell {
  if (about.sign < 0) return peakInCell(cell, about.mean - (ion("hydrogen").limitingMolarConductivity ?? 0));
  throw new IonbookError(
    "bad-option",
    "cell is that of an anion channel: leave it out where a cation is counted",
  );
}

function requireReferences(references: readonly ReferenceAtArea[]): void {
  if (Array.isArray(references) && references.length > 0) return;
  throw new IonbookError(
    "no-reference",
    'no calibrated strong ion is given: the charge of an unknown is counted against at least one (chloride, nitrate, sulfate), as in references: [{ ion: "chloride", concentration: 0.2 }]',
  );
}

/** A factor 1 with a relative uncertainty; shared by name, or its own where the unknown has none. */
function relativeError(source: string, u: number, name: string | undefined, dof?: number): MeasuredValue {
  const about = name === undefined ? {} : { source };
  return measured(1, "1", { u }, dof === undefined || dof < 1 ? about : { ...about, dof });
}

function requireArea(area: number | MeasuredValue): void {
  const value = typeof area === "number" ? area : area.value;
  if (value > 0 && Number.isFinite(value)) return;
  throw new IonbookError(
    "bad-area",
    `the area is ${value}; an unidentified ion is counted from a positive area`,
  );
}

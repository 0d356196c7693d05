import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { type InputUncertainty, measured } from "../uncertainty/measured.js";

/** A quantity that is looked up or measured elsewhere. */
export interface StatedQuantity {
  readonly value: number;
  /** In the unit of the value. */
  readonly uncertainty: InputUncertainty;
}

/** A balance, adjusted with weights of known density, and the air it stands in. */
export interface LaboratoryBalance {
  readonly kind: "balance";
  readonly name: string;
  /** Largest load, g. */
  readonly capacity: number;
  /** Standard deviation of one reading, g. */
  readonly repeatability: number;
  /** How far a reading may lie off a straight line, ± g (rectangular). */
  readonly linearity: number;
  /** Of its slope, relative; shared by all its weighings, so it cancels between two of them. */
  readonly sensitivity: InputUncertainty;
  /** Air at the balance, kg/m³; shared by the weighings of a day. */
  readonly airDensity: StatedQuantity;
  /** Of the weights that the balance was adjusted with, kg/m³. */
  readonly weightsDensity: number;
}

export interface LaboratoryBalanceOptions {
  /** @default "220 g balance", with its capacity */
  readonly name?: string;
  /** Last digit of the display, g. @default 0.0001 */
  readonly readability?: number;
  /** Standard deviation of one reading, g. @default the readability */
  readonly repeatability?: number;
  /** ± g. @default twice the readability */
  readonly linearity?: number;
  /** Relative. @default ± 5·10⁻⁶, rectangular */
  readonly sensitivity?: InputUncertainty;
  /** kg/m³. @default 1.20 ± 0.10, rectangular: a room near sea level. Higher up give it, from `airDensity` */
  readonly airDensity?: StatedQuantity;
  /** kg/m³. @default 8000, the conventional one */
  readonly weightsDensity?: number;
}

const KNOWN = {
  name: true,
  readability: true,
  repeatability: true,
  linearity: true,
  sensitivity: true,
  airDensity: true,
  weightsDensity: true,
} as const;
const CONVENTIONAL_WEIGHTS = 8000;
const USUAL_AIR: StatedQuantity = { value: 1.2, uncertainty: { halfWidth: 0.1, shape: "rectangular" } };

/**
 * A balance for solutions prepared by mass.
 *
 * @param capacity largest load, g
 * @throws IonbookError "bad-balance", "bad-uncertainty", "unknown-option", "bad-option"
 * @source conventional density of weights 8000 kg/m³: OIML D 28:2004 (from memory); air 1.2 ± 0.1 kg/m³: JCGM 101:2008,
 *   9.3; repeatability, linearity and sensitivity of a balance of 0.1 mg: common practice, no source
 */
export function laboratoryBalance(
  capacity: number,
  options: LaboratoryBalanceOptions = {},
): LaboratoryBalance {
  requireKnownOptions(options, KNOWN, "laboratoryBalance");
  const { readability = 0.0001 } = options;
  return requireBalance({
    kind: "balance",
    name: options.name ?? `${capacity} g balance`,
    capacity,
    repeatability: options.repeatability ?? readability,
    linearity: options.linearity ?? 2 * readability,
    sensitivity: options.sensitivity ?? { halfWidth: 5e-6, shape: "rectangular" },
    airDensity: options.airDensity ?? USUAL_AIR,
    weightsDensity: options.weightsDensity ?? CONVENTIONAL_WEIGHTS,
  });
}

/** @throws IonbookError "bad-balance" naming what is wrong with it, "bad-uncertainty" */
export function requireBalance(given: LaboratoryBalance): LaboratoryBalance {
  if (given?.kind !== "balance" || typeof given.name !== "string" || given.name === "") {
    throw new IonbookError(
      "bad-balance",
      "What is weighed needs its balance: { balance: laboratoryBalance(220) }",
    );
  }
  const { name, capacity, repeatability, linearity, sensitivity, airDensity, weightsDensity } = given;
  requireWithin(name, "capacity", capacity, Number.MIN_VALUE, 1e6, "g");
  requireWithin(name, "repeatability", repeatability, 0, capacity / 10, "g");
  requireWithin(name, "linearity", linearity, 0, capacity / 10, "g");
  requireWithin(name, "weightsDensity", weightsDensity, 1000, 25000, "kg/m³");
  requireWithin(name, "airDensity.value", airDensity?.value, 0.3, 2, "kg/m³");
  measured(1, "1", sensitivity);
  measured(airDensity.value, "kg/m³", airDensity.uncertainty);
  return given;
}

/** Standard uncertainty of the difference of two readings, g: √(2·(s² + (lin/√3)²)). */
export function readingUncertainty({ repeatability, linearity }: LaboratoryBalance): number {
  return Math.SQRT2 * Math.hypot(repeatability, linearity / Math.sqrt(3));
}

function requireWithin(
  of: string,
  what: string,
  value: unknown,
  low: number,
  high: number,
  unit: string,
): void {
  if (typeof value === "number" && value >= low && value <= high) return;
  throw new IonbookError(
    "bad-balance",
    `${what} of the ${of} is ${String(value)}; give it in ${unit}, ${low === Number.MIN_VALUE ? "above 0" : `from ${low}`} to ${high}`,
  );
}

import { IonbookError } from "../errors.js";
import { countAtoms, formulaReadings, molarMassOf } from "./formula.js";
import { ion, isCompositionOfIon } from "./ion-table.js";
import { nearestNames } from "./nearest-names.js";

type Prefix = "" | "m" | "µ" | "μ" | "u" | "n";
type Volume = "L" | "kg";

/** A plain unit of concentration: "mg/L", "µmol/L", "meq/L", "mg/kg" …; µ may be either Unicode letter or "u". */
export type PlainUnit = `${Prefix}${"g" | "mol" | "eq"}/${Volume}`;

/**
 * A unit of concentration: a plain one, or a mass expressed as another substance ("mg/L as N", "mg/L as CaCO3").
 * Any text is taken, so that a table's own unit column can be passed on; what cannot be read is refused at run time.
 */
export type Unit = PlainUnit | `${PlainUnit} as ${string}` | (string & {});

interface ParsedUnit {
  /** Factor to g, mol or eq. */
  readonly scale: number;
  readonly quantity: "g" | "mol" | "eq";
  readonly per: Volume;
  /** The substance a mass is expressed as. */
  readonly as: string | undefined;
}

interface Substance {
  readonly name: string;
  readonly elements: Readonly<Record<string, number>>;
  readonly molarMass: number;
  /** 0 for a neutral substance. */
  readonly charge: number;
}

const SCALES: Readonly<Record<string, number>> = { "": 1, m: 1e-3, u: 1e-6, n: 1e-9 };
const EXAMPLES = ["g/L", "mg/L", "µg/L", "mmol/L", "µmol/L", "meq/L", "µeq/L", "mg/kg", "mg/L as N"];

/**
 * `value` of the unit `from`, expressed in the unit `to`, for the ion or substance `of`.
 *
 * Masses, amounts and equivalents: n = m/M, n_eq = |z|·n. "as X" is the mass of X that carries the same atoms of
 * the element which X and the ion share besides oxygen and hydrogen: m_X = n·(ν_ion/ν_X)·M_X ("mg/L as N",
 * "mg/L as P2O5"); "as CaCO3" is the mass of calcium carbonate with as many equivalents: m = |z|·n·M(CaCO3)/2.
 *
 * @param value any finite number
 * @param from unit of `value`
 * @param to unit wanted
 * @param of ion by name or formula, or the formula of a neutral substance ("NH3", "SiO2")
 * @throws IonbookError "unknown-unit"; "unit-mismatch" (litre against kilogram, an element the ion lacks,
 *   equivalents of a neutral substance); "unknown-ion"; "not-a-number"
 * @source molar masses: IUPAC 2021 abridged atomic weights
 */
export function convert(value: number, from: Unit, to: Unit, of: string): number {
  if (!Number.isFinite(value)) {
    throw new IonbookError(
      "not-a-number",
      `cannot convert ${typeof value === "string" ? `the text "${value}"` : value}: give a finite number of ${from}`,
    );
  }
  if (!isUnit(from) && isUnit(to) && isUnit(of)) {
    throw new IonbookError(
      "unknown-unit",
      `convert takes the units first and the ion last: convert(${value}, "${to}", "${of}", "${from}")`,
    );
  }
  const source = parseUnit(from);
  const target = parseUnit(to);
  if (typeof of !== "string") {
    throw new IonbookError(
      "unknown-ion",
      `convert needs the ion last: convert(${value}, "${from}", "${to}", "chloride")`,
    );
  }
  const substance = substanceOf(of);
  if (source.per !== target.per) {
    throw new IonbookError(
      "unit-mismatch",
      `cannot convert ${from} to ${to}: one is per litre, the other per kilogram; multiply by the density or the extraction ratio first`,
    );
  }
  const sourceFactor = source.scale * molesPerUnit(source, substance, from);
  const targetFactor = target.scale * molesPerUnit(target, substance, to);
  // Equal factors divide to exactly 1, so a conversion to the same unit changes no bit.
  return value * (sourceFactor / targetFactor);
}

/** True when `convert` can read the unit. */
export function isUnit(text: string): text is Unit {
  try {
    parseUnit(text);
    return true;
  } catch {
    return false;
  }
}

/** True for a unit of something dissolved in a volume, false for what stands in a mass and for what is no unit. */
export function isPerLiter(text: string): boolean {
  return isUnit(text) && parseUnit(text).per === "L";
}

function parseUnit(text: string): ParsedUnit {
  const match = /^\s*([mµμun]?)(g|mol|eq|Eq)\s*\/\s*(L|l|kg)(?:\s+as\s+(\S+))?\s*$/.exec(text);
  if (!match) throw unknownUnit(text);
  const [, prefix, quantity, per, as] = match;
  if (as !== undefined && quantity !== "g") {
    throw new IonbookError(
      "unknown-unit",
      `"${text}": only a mass can be expressed "as ${as}", such as "mg/L as ${as}"`,
    );
  }
  return {
    scale: SCALES[/[µμ]/.test(prefix) ? "u" : prefix],
    quantity: quantity === "Eq" ? "eq" : (quantity as "g" | "mol" | "eq"),
    per: per === "kg" ? "kg" : "L",
    as,
  };
}

function unknownUnit(text: string): IonbookError {
  if (/^\s*pp[mbt]\s*$/i.test(text)) {
    return new IonbookError(
      "unknown-unit",
      `"${text}" does not say per what: write mg/L or mg/kg (µg/L or µg/kg)`,
    );
  }
  const near = nearestNames(text, EXAMPLES);
  const hint = near.length > 0 ? `; nearest are ${near.join(", ")}` : "";
  return new IonbookError(
    "unknown-unit",
    `"${text}" is no unit of concentration${hint}. Known are ${EXAMPLES.join(", ")}`,
  );
}

/** Moles of the substance in one gram, mole or equivalent of the unit. */
function molesPerUnit(unit: ParsedUnit, substance: Substance, text: string): number {
  if (unit.quantity === "mol") return 1;
  if (unit.quantity === "eq") return 1 / chargeOf(substance, text);
  if (unit.as === undefined) return 1 / substance.molarMass;
  return molesPerGramAs(unit.as, substance, text);
}

function chargeOf(substance: Substance, text: string): number {
  if (substance.charge !== 0) return Math.abs(substance.charge);
  throw new IonbookError(
    "unit-mismatch",
    `${substance.name} carries no charge, so "${text}" has no meaning for it`,
  );
}

function molesPerGramAs(as: string, substance: Substance, text: string): number {
  if (as === "CaCO3") return 2 / (molarMassOf({ Ca: 1, C: 1, O: 3 }) * chargeOf(substance, text));
  const body = formulaReadings(as)[0].body;
  const atoms = countAtoms(body);
  if (!atoms) throw new IonbookError("unknown-unit", `"${text}": "${as}" is not a formula of known elements`);
  const shared = sharedElement(atoms, substance);
  if (shared === undefined) {
    const own = Object.keys(substance.elements).join(", ");
    throw new IonbookError(
      "unit-mismatch",
      `"${text}" does not fit ${substance.name}: the two must share one element, and ${substance.name} holds ${own}`,
    );
  }
  return atoms[shared] / (molarMassOf(atoms) * substance.elements[shared]);
}

/** The element by which one substance is expressed as another: the only one they share, oxygen and hydrogen aside. */
function sharedElement(atoms: Readonly<Record<string, number>>, substance: Substance): string | undefined {
  const symbols = Object.keys(atoms);
  if (symbols.length === 1) return symbols[0] in substance.elements ? symbols[0] : undefined;
  const shared = symbols.filter((symbol) => symbol in substance.elements && symbol !== "O" && symbol !== "H");
  return shared.length === 1 ? shared[0] : undefined;
}

function substanceOf(of: string): Substance {
  try {
    return ion(of);
  } catch (error) {
    const [{ body, charge }] = formulaReadings(of);
    const elements = charge === 0 ? countAtoms(body) : undefined;
    // Atoms of a known ion without its charge ("NO3") are a slip, and the error names that ion.
    if (!elements || isCompositionOfIon(elements)) throw error;
    return { name: body, elements, molarMass: molarMassOf(elements), charge: 0 };
  }
}

import { IonbookError } from "../errors.js";
import { ion } from "../ions/ion-table.js";
import { convert, type Unit } from "../ions/units.js";
import {
  combineLinear,
  type InputUncertainty,
  type MeasuredValue,
  measured,
  over,
  times,
} from "../uncertainty/measured.js";
import { analyteOf } from "./analyte.js";
import type { StatedQuantity } from "./balance.js";
import { likelySlip, requirePlainForm } from "./form-slips.js";
import { type Glassware, type RoomTemperature, volumeOf } from "./glassware.js";
import { compositionOf, type OwnSalt, type Salt, saltOf } from "./salts.js";

/** Acid that a stock or a solution is made up with. */
export interface AcidMatrix {
  readonly acid:
    | "nitric acid"
    | "hydrochloric acid"
    | "sulfuric acid"
    | "phosphoric acid"
    | "perchloric acid";
  /** mol/L */
  readonly molarity: number;
}

/** A stock solution weighed from a salt or a metal. */
export interface WeighedStock {
  readonly name: string;
  /** "NaCl", "CaCl2·2H2O", or a solid of one's own. */
  readonly salt: string | OwnSalt;
  /** mg */
  readonly mass: number;
  /** Of the mass, mg: what the weighing of a difference leaves. */
  readonly massUncertainty: InputUncertainty;
  /** Degrees of freedom of that uncertainty. @default Infinity: taken as known */
  readonly massDof?: number;
  /** Mass fraction of the salt in the solid. @default 1 */
  readonly purity?: number;
  /** Of the purity. @default the gap to 1 on either side, rectangular */
  readonly purityUncertainty?: InputUncertainty;
  readonly flask: Glassware;
  /** Solutions of one day share the room's temperature. @default the day of this stock alone */
  readonly day?: string;
  readonly matrix?: AcidMatrix;
  /** Of the solution, g/mL at 20 °C; needed where a solution weighs it. */
  readonly density?: StatedQuantity;
  /** What its label says it holds: compared with what the weighing gives. */
  readonly declared?: { readonly ion: string; readonly concentration: number; readonly unit: Unit };
}

/** One ion on a certificate. */
export interface CertifiedContent {
  readonly ion: string;
  readonly concentration: number;
  /** "mg/L", "mg/L as N", "mmol/L" … @default "mg/L" */
  readonly unit?: Unit;
  /** In `unit`. */
  readonly uncertainty: InputUncertainty;
  /** Degrees of freedom of that uncertainty. @default Infinity: taken as known */
  readonly dof?: number;
}

/** A bought solution with a certificate. */
export interface CertifiedStock {
  readonly name: string;
  readonly contents: readonly CertifiedContent[];
  /** What the only ion of the certificate was weighed from: brings its counter-ion. */
  readonly salt?: string | OwnSalt;
  readonly matrix?: AcidMatrix;
  /** Of the solution, g/mL at 20 °C; needed where a solution weighs it. */
  readonly density?: StatedQuantity;
}

export type Stock = WeighedStock | CertifiedStock;

/** What a stock holds. */
export interface StockContent {
  readonly name: string;
  readonly stock: Stock;
  readonly salt: Salt | undefined;
  /** mg/L of every ion, counter-ions too, by name. */
  readonly ions: ReadonlyMap<string, MeasuredValue>;
  /** Ions that the stock is bought or weighed for; the others are counter-ions. Empty where both may be meant. */
  readonly certified: readonly string[];
}

export const ACID_ANIONS: Readonly<Record<AcidMatrix["acid"], string>> = {
  "nitric acid": "nitrate",
  "hydrochloric acid": "chloride",
  "sulfuric acid": "sulfate",
  "phosphoric acid": "phosphate",
  "perchloric acid": "perchlorate",
};

/** The ions of a stock in mg/L with their sources: weighing, purity, flask and temperature, or the certificate. */
export function stockContent(stock: Stock, room: RoomTemperature): StockContent {
  if (typeof stock !== "object" || stock === null || typeof stock.name !== "string" || stock.name === "") {
    throw new IonbookError(
      "bad-stock",
      'A stock has a name: { name: "chloride stock", salt: "NaCl", mass: 1648.5, … } or { name, contents: […] }',
    );
  }
  requireMatrix(stock.matrix, stock.name);
  if ("mass" in stock) return weighed(stock, room);
  if (Array.isArray(stock.contents) && stock.contents.length > 0) return certified(stock);
  throw new IonbookError(
    "bad-stock",
    `The stock "${stock.name}" is neither weighed ({ salt, mass, massUncertainty, flask }) nor certified ({ contents: [{ ion, concentration, uncertainty }] })`,
  );
}

/** c = m·P·ν·M_ion/(M_salt·V); mg and mL make mg/mL, hence the thousand. */
function weighed(stock: WeighedStock, room: RoomTemperature): StockContent {
  const { name, mass, flask } = stock;
  const solid = saltOf(stock.salt);
  if (!(mass > 0 && Number.isFinite(mass))) {
    throw new IonbookError(
      "bad-mass",
      `The mass of "${name}" is ${mass}; give mg of ${solid.formula} above 0`,
    );
  }
  if (flask?.kind !== "flask") {
    throw new IonbookError(
      "bad-flask",
      `The stock "${name}" needs its flask: { flask: volumetricFlask(1000) }`,
    );
  }
  const day = stock.day ?? `making ${name}`;
  const volume = volumeOf(flask, { solution: name, day, volume: flask.volume, times: 1 }, room);
  const { massUncertainty, massDof: dof = Number.POSITIVE_INFINITY } = stock;
  const weighedMass = measured(mass, "mg", massUncertainty, { source: `mass of ${name}`, dof });
  const perMillilitre = over(times(weighedMass, purityOf(stock)), volume);
  const ions = new Map<string, MeasuredValue>();
  for (const [of, count] of compositionOf(solid)) {
    const share = (count * ion(of).molarMass) / solid.molarMass;
    ions.set(of, combineLinear([{ value: perMillilitre, factor: 1000 * share }], "mg/L"));
  }
  requireAsDeclared(stock, solid, ions);
  return { name, stock, salt: solid, ions, certified: [] };
}

/** Labels are rounded: what differs by less than this is no slip. */
const LABEL_ROUNDING = 0.02;

/** @throws IonbookError "stock-not-as-declared" naming the slip that would explain it */
function requireAsDeclared(
  { name, declared }: WeighedStock,
  solid: Salt,
  ions: ReadonlyMap<string, MeasuredValue>,
): void {
  if (declared === undefined) return;
  if (typeof declared !== "object" || declared === null) {
    throw new IonbookError(
      "bad-stock",
      `The declaration of "${name}" is an object: { declared: { ion: "nitrate", concentration: 1000, unit: "mg/L as N" } }`,
    );
  }
  requireUnitText(name, declared.unit);
  requirePlainForm(name, declared.ion, declared.unit);
  const of = analyteOf(ion(declared.ion).name);
  const found = ions.get(of);
  if (found === undefined) {
    throw new IonbookError("salt-without-ion", `The stock "${name}" of ${solid.formula} holds no ${of}`);
  }
  const value = convert(found.value, "mg/L", declared.unit, of);
  const ratio = value / declared.concentration;
  if (Math.abs(ratio - 1) <= LABEL_ROUNDING) return;
  const slip = likelySlip(ratio, of, solid);
  throw new IonbookError(
    "stock-not-as-declared",
    `The stock "${name}" is declared as ${declared.concentration} ${declared.unit} ${of}, but its weighing gives ${Number(value.toPrecision(4))}${slip === undefined ? "" : `: ${slip}`}. Mend the label, the mass or the flask`,
  );
}

function purityOf(stock: WeighedStock): MeasuredValue {
  const { name, purity = 1, purityUncertainty } = stock;
  if (!(purity > 0 && purity <= 1)) {
    throw new IonbookError(
      "bad-purity",
      `The purity of "${name}" is ${purity}; give it as a mass fraction: 0.999 for 99.9 %`,
    );
  }
  const how = purityUncertainty ?? { halfWidth: 1 - purity, shape: "rectangular" as const };
  return measured(purity, "1", how, { source: `purity of ${name}` });
}

function certified(stock: CertifiedStock): StockContent {
  const { name, contents } = stock;
  const ions = new Map<string, MeasuredValue>();
  for (const content of contents) {
    const {
      ion: given,
      concentration,
      unit = "mg/L",
      uncertainty,
      dof = Number.POSITIVE_INFINITY,
    } = content ?? {};
    requireUnitText(name, unit);
    requirePlainForm(name, given, unit);
    const of = analyteOf(ion(given).name);
    if (!(concentration > 0 && Number.isFinite(concentration))) {
      throw new IonbookError(
        "bad-concentration",
        `The stock "${name}" is given with ${concentration} ${unit} ${of}; a certificate says a number above 0`,
      );
    }
    const stated = measured(concentration, unit, uncertainty, {
      source: `certificate of ${name}, ${of}`,
      dof,
    });
    ions.set(of, combineLinear([{ value: stated, factor: convert(1, unit, "mg/L", of) }], "mg/L"));
  }
  const own = [...ions.keys()];
  const solid = stock.salt === undefined ? undefined : saltOf(stock.salt);
  if (solid) addCounterIons(stock, solid, ions);
  return { name, stock, salt: solid, ions, certified: own };
}

/** Counter-ions by the proportions of the salt, fully correlated with the certified ion. */
function addCounterIons(stock: CertifiedStock, solid: Salt, ions: Map<string, MeasuredValue>): void {
  const composition = compositionOf(solid);
  const [only] = ions.keys();
  const count = composition.get(only);
  if (ions.size !== 1 || count === undefined) {
    throw new IonbookError(
      "salt-without-ion",
      `The stock "${stock.name}" cannot come from ${solid.formula} alone: its certificate names ${[...ions.keys()].join(", ")}`,
    );
  }
  const value = ions.get(only) as MeasuredValue;
  for (const [other, others] of composition) {
    if (other === only) continue;
    const factor = (others * ion(other).molarMass) / (count * ion(only).molarMass);
    ions.set(other, combineLinear([{ value, factor }], "mg/L"));
  }
}

function requireUnitText(stock: string, unit: unknown): void {
  if (typeof unit === "string") return;
  throw new IonbookError(
    "unknown-unit",
    `The stock "${stock}" has the unit ${String(unit)}: write it as text, "mg/L" or "mg/L as N"`,
  );
}

/** @throws IonbookError "bad-matrix" for an acid that is not known or a molarity that is not above 0 */
export function requireMatrix(matrix: AcidMatrix | undefined, of: string): void {
  if (matrix === undefined) return;
  const { acid, molarity } = matrix ?? {};
  if (typeof acid === "string" && Object.hasOwn(ACID_ANIONS, acid) && molarity > 0 && molarity < 20) return;
  throw new IonbookError(
    "bad-matrix",
    `"${of}" is made up with ${String(molarity)} mol/L of ${String(acid)}; give { matrix: { acid, molarity } } with an acid of ${Object.keys(ACID_ANIONS).join(", ")} and mol/L above 0`,
  );
}

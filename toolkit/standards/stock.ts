import { IonbookError } from "../errors.js";
import { ion } from "../ions/ion-table.js";
import { convert, type Unit } from "../ions/units.js";
import {
  combineLinear,
  type InputUncertainty,
  type MeasuredValue,
  measured,
} from "../uncertainty/measured.js";
import { type AcidMatrix, requireMatrix } from "./acid-matrix.js";
import { analyteOf } from "./analyte.js";
import type { StatedQuantity } from "./balance.js";
import { requirePlainForm, requireUnitText } from "./form-slips.js";
import type { RoomTemperature } from "./glassware.js";
import { compositionOf, type OwnSalt, type Salt, saltOf } from "./salts.js";
import { type WeighedStock, weighedContent } from "./weighed-stock.js";

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
  /** mL at 20 °C that there are; `undefined` for a bought one. */
  readonly volume: number | undefined;
  /** What to mind of its weighing. */
  readonly cautions: readonly string[];
}

/** The ions of a stock in mg/L with their sources: weighing, purity, flask and temperature, or the certificate. */
export function stockContent(stock: Stock, room: RoomTemperature): StockContent {
  if (typeof stock !== "object" || stock === null || typeof stock.name !== "string" || stock.name === "") {
    throw new IonbookError(
      "bad-stock",
      'A stock has a name: { name: "chloride stock", salt: "NaCl", mass: 1648.5, … } or { name, contents: […] }',
    );
  }
  requireMatrix(stock.matrix, stock.name);
  if ("mass" in stock) return { name: stock.name, stock, ...weighedContent(stock, room), certified: [] };
  if (Array.isArray(stock.contents) && stock.contents.length > 0) return certified(stock);
  throw new IonbookError(
    "bad-stock",
    `The stock "${stock.name}" is neither weighed ({ salt, mass, massUncertainty, flask }) nor certified ({ contents: [{ ion, concentration, uncertainty }] })`,
  );
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
  return { name, stock, salt: solid, ions, certified: own, volume: undefined, cautions: [] };
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

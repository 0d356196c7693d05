import { IonbookError } from "../../errors.js";
import { type AcidSystem, acidSystem } from "../../ions/acid-systems.js";
import { type Ion, ion } from "../../ions/ion-table.js";
import { convert, isUnit } from "../../ions/units.js";
import { combineLinear, exactly, isMeasuredValue, type MeasuredValue } from "../../uncertainty/measured.js";
import { acidConstantsAt } from "../speciation/acid-constants.js";
import { metalHydrolysis } from "../speciation/metal-hydrolysis.js";
import { type CarbonateInput, readCarbonate } from "./carbonate-input.js";

/** Concentrations by ion, mg/L; a `MeasuredValue` in another unit of concentration is converted. */
export type Concentrations = Readonly<Record<string, number | MeasuredValue>>;

export interface WaterOptions {
  /** Without it, weak acids and bases are taken at pH 7. A `MeasuredValue` brings its uncertainty along. */
  readonly pH?: number | MeasuredValue;
  /** °C; default 25. */
  readonly temperature?: number;
  /** mg/L as CaCO3; used only where no hydrogencarbonate is given. */
  readonly alkalinity?: number | MeasuredValue;
  /**
   * pH at which the titration of the alkalinity was ended, such as 4.5; without it the alkalinity is taken as that of the
   * equivalence point (inflection, Gran).
   */
  readonly alkalinityEndpoint?: number;
  /**
   * Hydrogencarbonate by equilibrium with carbon dioxide of this partial pressure, µatm, for dilute rain without alkalinity;
   * "air" for 420. Needs a pH. Never assumed unless asked for, and flagged.
   */
  readonly carbonDioxide?: number | "air";
}

/** The options above by name, for calls that take them beside their own. */
export const WATER_OPTIONS: Readonly<Record<keyof WaterOptions, true>> = {
  pH: true,
  temperature: true,
  alkalinity: true,
  alkalinityEndpoint: true,
  carbonDioxide: true,
};

/** One ion as analysed. */
export interface Solute {
  readonly ion: Ion;
  /** mg/L */
  readonly concentration: MeasuredValue;
  /** The acid whose forms it takes at a pH; undefined where it keeps its own charge. */
  readonly acid: AcidSystem | undefined;
}

/** A water analysis, read and checked. */
export interface WaterInput extends CarbonateInput {
  readonly solutes: readonly Solute[];
  readonly pH: MeasuredValue;
  /** True where no pH was given. */
  readonly pHAssumed: boolean;
  readonly temperature: number | undefined;
  readonly flags: readonly string[];
}

const ASSUMED_PH = 7;
/** Sulfate is written as SO4^2− above this pH, where less than 1 % of it is HSO4−. */
const SULFATE_PH = 4;
const TITRATED = new Set(["hydrogencarbonate", "carbonate", "hydrogen", "hydroxide"]);

/**
 * A water analysis with its ions resolved, in mg/L, and with the rules of the balance settled: what pH is taken, and
 * whether alkalinity stands for hydrogencarbonate.
 *
 * @throws IonbookError "no-concentrations", "unknown-ion", "duplicate-ion", "negative-concentration", "not-a-number", "unit-mismatch",
 *   "bad-pH", "bad-temperature", "no-balance-test", "bad-endpoint", "bad-partial-pressure", "no-pH", "two-carbonates"
 */
export function readWater(concentrations: Concentrations, options: WaterOptions = {}): WaterInput {
  if (typeof concentrations !== "object" || concentrations === null) {
    throw new IonbookError(
      "no-concentrations",
      "a water analysis is given in mg/L by ion: { chloride: 35.4, sodium: 23 }",
    );
  }
  const pH = readPH(options.pH);
  const pHAssumed = options.pH === undefined;
  const given = readSolutes(concentrations, pH.value, pHAssumed);
  const temperature = readTemperature(options.temperature);
  const carbonate = readCarbonate(options, new Set(given.map((solute) => solute.ion.name)));
  const { alkalinity } = carbonate;
  const flags: string[] = [];
  const solutes = given.filter((solute) => alkalinity === undefined || solute.ion.name !== "carbonate");
  if (solutes.length < given.length) flags.push("carbonate-in-alkalinity");
  if (pHAssumed && (alkalinity !== undefined || solutes.some(({ acid }) => acid !== undefined)))
    flags.push("assumed-pH");
  if (alkalinity !== undefined) flags.push("alkalinity-as-hydrogencarbonate");
  if (carbonate.carbonDioxide !== undefined) flags.push("hydrogencarbonate-from-air");
  if (solutes.some(({ acid }) => acid && !acidConstantsAt(acid, temperature))) flags.push("constants-at-25");
  return { solutes, pH, pHAssumed, temperature, ...carbonate, flags };
}

function readSolutes(concentrations: Concentrations, pH: number, pHAssumed: boolean): readonly Solute[] {
  const seen = new Map<string, string>();
  return Object.entries(concentrations).map(([key, value]) => {
    const of = ion(key);
    const earlier = seen.get(of.name);
    if (earlier !== undefined) {
      throw new IonbookError(
        "duplicate-ion",
        `"${earlier}" and "${key}" are both ${of.name}: give one of them`,
      );
    }
    seen.set(of.name, key);
    const fixed = TITRATED.has(of.name) || (of.name === "sulfate" && pH > SULFATE_PH);
    // At an assumed pH a metal would be dissolved or not by our choice: it then keeps its own charge.
    const acid = fixed
      ? undefined
      : (acidSystem(of.name) ?? (pHAssumed ? undefined : metalHydrolysis(of.name)));
    return { ion: of, concentration: inMilligrams(value, of), acid };
  });
}

function inMilligrams(value: number | MeasuredValue, of: Ion): MeasuredValue {
  if (typeof value === "number") {
    if (!Number.isFinite(value)) {
      throw new IonbookError(
        "not-a-number",
        `the concentration of ${of.name} is ${value}; leave a missing ion out`,
      );
    }
    if (value < 0) {
      throw new IonbookError(
        "negative-concentration",
        `the concentration of ${of.name} is ${value} mg/L, below zero`,
      );
    }
    return exactly(value, "mg/L");
  }
  if (!isMeasuredValue(value)) {
    throw new IonbookError(
      "not-a-number",
      `the concentration of ${of.name} is ${typeof value === "string" ? `the text "${value}"` : String(value)}: ` +
        `give a number in mg/L or a measured value, { ${of.name}: 12.4 }`,
    );
  }
  if (value.unit === "mg/L") return value;
  if (!isUnit(value.unit)) {
    throw new IonbookError("unit-mismatch", `${of.name} is given in "${value.unit}"; a balance needs mg/L`);
  }
  return combineLinear([{ value, factor: convert(1, value.unit, "mg/L", of.name) }], "mg/L");
}

function readTemperature(temperature: number | undefined): number | undefined {
  if (temperature === undefined || (temperature >= -20 && temperature <= 110)) return temperature;
  throw new IonbookError(
    "bad-temperature",
    `a water has no temperature of ${temperature} °C: give a number, or leave it out for 25 °C`,
  );
}

function readPH(pH: number | MeasuredValue | undefined): MeasuredValue {
  const value = isMeasuredValue(pH) ? pH : exactly(checkedPH(pH ?? ASSUMED_PH), "1");
  checkedPH(value.value);
  return value;
}

function checkedPH(pH: number): number {
  if (typeof pH === "number" && pH >= -2 && pH <= 16) return pH;
  throw new IonbookError(
    "bad-pH",
    `a pH of ${pH} is not possible in water: leave it out where it was not measured`,
  );
}

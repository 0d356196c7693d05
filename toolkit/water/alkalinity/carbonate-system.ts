import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { type AcidSystem, acidSystem } from "../../ions/acid-systems.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { convert } from "../../ions/units.js";
import { exactly, isMeasuredValue, type MeasuredValue, propagate } from "../../uncertainty/measured.js";
import {
  acidConstantsAt,
  carbonDioxideSolubilityAt,
  formFractions,
  mixedConstants,
  waterIonProductAt,
} from "../speciation/acid-constants.js";
import { activityCoefficient } from "../speciation/activity.js";

/** What is known of a water's carbonate: its pH, and alkalinity or total inorganic carbon. */
export interface CarbonateRequest {
  readonly pH: number | MeasuredValue;
  /** mg/L as CaCO3 (or a `MeasuredValue` in meq/L): that of carbonate and water alone. */
  readonly alkalinity?: number | MeasuredValue;
  /** Dissolved inorganic carbon, mmol/L. */
  readonly inorganicCarbon?: number | MeasuredValue;
  /** °C; without it the 25 °C constants of the ion table. */
  readonly temperature?: number;
  /** mol/L; default 0, ideal solution. */
  readonly ionicStrength?: number;
}

export interface CarbonateSystem {
  readonly kind: "carbonate-system";
  readonly pH: MeasuredValue;
  /** meq/L */
  readonly alkalinity: MeasuredValue;
  /** The same, mg/L as CaCO3. */
  readonly alkalinityAsCaCO3: MeasuredValue;
  /** mg/L */
  readonly hydrogencarbonate: MeasuredValue;
  /** mg/L */
  readonly carbonate: MeasuredValue;
  /** CO2 and H2CO3 together, mmol/L. */
  readonly carbonicAcid: MeasuredValue;
  /** mmol/L */
  readonly inorganicCarbon: MeasuredValue;
  /** Partial pressure of carbon dioxide the water would be in equilibrium with, µatm. */
  readonly carbonDioxidePressure: MeasuredValue;
  readonly temperature: number;
  /** mol/L */
  readonly ionicStrength: number;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const KNOWN: Readonly<Record<keyof CarbonateRequest, true>> = {
  pH: true,
  alkalinity: true,
  inorganicCarbon: true,
  temperature: true,
  ionicStrength: true,
};

/** Forms at a pH as plain numbers; amounts mmol/L. */
interface Chemistry {
  /** Fractions of carbonic acid, hydrogencarbonate, carbonate. */
  readonly fractions: (pH: number) => readonly number[];
  /** OH⁻ − H⁺, mmol/L. */
  readonly alkaline: (pH: number) => number;
}

/**
 * All of a water's carbonate from its pH and alkalinity, or its pH and inorganic carbon.
 *
 * Alk = C·(α₁ + 2·α₂) + [OH⁻] − [H⁺], C inorganic carbon in mmol/L, α fractions at the pH by mixed constants;
 * [H⁺] = 10^(3 − pH)/γ, [OH⁻] = 10^(3 + pH − pKw)/γ; pCO2 = C·α₀/K_H. γ by Davies. Uncertainties of pH and of what else is
 * given are propagated with their correlations.
 *
 * Valid where carbonate and water alone make the alkalinity: `chargeBalance` takes off what phosphate, borate, silicate, ammonia
 * and organic acids contribute.
 *
 * @throws IonbookError "bad-request" unless exactly one of alkalinity and inorganicCarbon is given; "bad-pH", "not-a-number";
 *   "outside-validity" for an ionic strength above 0.5 mol/L or a temperature outside 0 to 60 °C; "negative-carbonate" where the
 *   alkalinity is less than the pH alone accounts for; "unknown-option"
 * @source W. Stumm and J.J. Morgan, Aquatic Chemistry; constants: L.N. Plummer and E. Busenberg 1982, pKw: USGS phreeqc.dat
 */
export function carbonateSystem(request: CarbonateRequest): CarbonateSystem {
  requireKnownOptions(request, KNOWN, "carbonateSystem");
  const { temperature, ionicStrength = 0 } = request;
  const chemistry = chemistryAt(temperature, ionicStrength);
  const pH = readPH(request.pH);
  const carbon = inorganicCarbonOf(request, pH, chemistry);
  const of = (amount: (C: number, fractions: readonly number[], at: number) => number, unit: string) =>
    propagate(({ C, p }) => amount(C, chemistry.fractions(p), p), { C: carbon, p: pH }, unit);
  const alkalinityOf = (C: number, [, single, double]: readonly number[], p: number): number =>
    C * (single + 2 * double) + chemistry.alkaline(p);
  const perMeq = convert(1, "meq/L", "mg/L as CaCO3", "hydrogencarbonate");
  const solubility = 10 ** -(carbonDioxideSolubilityAt(temperature) ?? Number.NaN);
  const mass = (name: string): number => convert(1, "mmol/L", "mg/L", name);
  const result: CarbonateSystem = {
    kind: "carbonate-system",
    pH,
    alkalinity: of(alkalinityOf, "meq/L"),
    alkalinityAsCaCO3: of((...at) => perMeq * alkalinityOf(...at), "mg/L as CaCO3"),
    hydrogencarbonate: of((C, [, single]) => C * single * mass("hydrogencarbonate"), "mg/L"),
    carbonate: of((C, [, , double]) => C * double * mass("carbonate"), "mg/L"),
    carbonicAcid: of((C, [acid]) => C * acid, "mmol/L"),
    inorganicCarbon: carbon,
    carbonDioxidePressure: of((C, [acid]) => (1000 * C * acid) / solubility, "µatm"),
    temperature: temperature ?? 25,
    ionicStrength,
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function chemistryAt(temperature: number | undefined, ionicStrength: number): Chemistry {
  const acid = acidSystem("carbonate") as AcidSystem;
  const gamma = activityCoefficient(1, ionicStrength, temperature === undefined ? {} : { temperature });
  const pKa = acidConstantsAt(acid, temperature) ?? acid.pKa;
  const charges = acid.forms.map(({ charge }) => charge);
  const mixed = mixedConstants(pKa, charges, ionicStrength, temperature);
  const pKw = waterIonProductAt(temperature) ?? Number.NaN;
  return {
    fractions: (pH) => formFractions(mixed, pH),
    alkaline: (pH) => (10 ** (3 + pH - pKw) - 10 ** (3 - pH)) / gamma,
  };
}

function inorganicCarbonOf(
  request: CarbonateRequest,
  pH: MeasuredValue,
  chemistry: Chemistry,
): MeasuredValue {
  const { alkalinity, inorganicCarbon } = request;
  if ((alkalinity === undefined) === (inorganicCarbon === undefined)) {
    throw new IonbookError(
      "bad-request",
      "carbonateSystem takes the pH and either alkalinity or inorganicCarbon: { pH: 7.6, alkalinity: 160 }",
    );
  }
  if (inorganicCarbon !== undefined) {
    const carbon = readAmount(inorganicCarbon, "inorganicCarbon", "mmol/L", "mmol/L");
    if (carbon.value >= 0) return carbon;
    throw new IonbookError("not-a-number", `the inorganic carbon is ${carbon.value} mmol/L, below zero`);
  }
  const given = readAmount(alkalinity, "alkalinity", "mg/L as CaCO3", "meq/L");
  const carbon = propagate(
    ({ A, p }) => {
      const [, single, double] = chemistry.fractions(p);
      return (A - chemistry.alkaline(p)) / (single + 2 * double);
    },
    { A: given, p: pH },
    "mmol/L",
  );
  if (carbon.value >= 0) return carbon;
  throw new IonbookError(
    "negative-carbonate",
    `an alkalinity of ${given.value.toPrecision(3)} meq/L at pH ${pH.value} leaves no carbonate: H⁺ and OH⁻ alone account for ${chemistry.alkaline(pH.value).toPrecision(3)} meq/L`,
  );
}

function readPH(given: number | MeasuredValue): MeasuredValue {
  const value = isMeasuredValue(given) ? given.value : given;
  if (!(typeof value === "number" && value >= 0 && value <= 14)) {
    throw new IonbookError(
      "bad-pH",
      `the pH is ${String(value)}: give the measured pH of the water, 0 to 14`,
    );
  }
  return isMeasuredValue(given) ? given : exactly(value, "1");
}

function readAmount(given: unknown, name: string, bareUnit: string, unit: string): MeasuredValue {
  if (typeof given === "number" && Number.isFinite(given)) {
    return exactly(convert(given, bareUnit, unit, "hydrogencarbonate"), unit);
  }
  if (!isMeasuredValue(given)) {
    throw new IonbookError("not-a-number", `${name} is ${String(given)}; give a number in ${bareUnit}`);
  }
  const from = given.unit === "mg/L" && name === "alkalinity" ? bareUnit : given.unit;
  const factor = convert(1, from, unit, "hydrogencarbonate");
  return propagate(({ x }) => factor * x, { x: given }, unit);
}

function describe(system: CarbonateSystem): string {
  const { pH, temperature, ionicStrength } = system;
  return [
    `carbonate at pH ${pH.u > 0 ? String(pH) : pH.value}, ${temperature} °C, ionic strength ${ionicStrength} mol/L`,
    `  alkalinity ${inWords(system.alkalinity)} (${inWords(system.alkalinityAsCaCO3)})`,
    `  hydrogencarbonate ${inWords(system.hydrogencarbonate)}, carbonate ${inWords(system.carbonate)}`,
    `  inorganic carbon ${inWords(system.inorganicCarbon)}, of it carbonic acid ${inWords(system.carbonicAcid)}`,
    `  in equilibrium with ${inWords(system.carbonDioxidePressure)} of carbon dioxide`,
  ].join("\n");
}

function inWords(value: MeasuredValue): string {
  return value.u > 0 ? String(value) : `${Number(value.value.toPrecision(4))} ${value.unit}`;
}

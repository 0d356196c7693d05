import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import {
  exactly,
  isMeasuredValue,
  type MeasuredValue,
  minus,
  propagate,
} from "../../uncertainty/measured.js";
import { type Concentrations, readWater, type WaterOptions } from "../analysis/water-input.js";
import { type DissolvedForm, type WaterState, waterState } from "../analysis/water-state.js";
import { conductivityOf, conductivityOfInput, hasSulfatePairs } from "./conductivity.js";
import {
  applyConductivityCriteria,
  type ConductivityCriterion,
  type ConductivityCriterionResult,
} from "./conductivity-criteria.js";
import type { ConductivityForm } from "./conductivity-model.js";
import { ION_PAIRS, type IonPair, pairsInForce } from "./ion-pairs.js";
import { conductivityAt25, type TemperatureRuleChoice } from "./temperature.js";

export interface ConductivityComparisonOptions extends WaterOptions {
  /** °C to which the measured value refers; default 25. Older tables and some countries give 20 °C. */
  readonly measuredAt?: number;
  /** How the measured value is brought to 25 °C; default "linear". */
  readonly temperatureRule?: TemperatureRuleChoice;
  /** Default: pairs where calcium or magnesium meets sulfate. */
  readonly ionPairs?: boolean | readonly IonPair[];
  /** Rain, snow and other atmospheric water: their criteria apply. Default: when both sides are below 0.5 meq/L together. */
  readonly precipitation?: boolean;
  /** Rules to apply; default `CONDUCTIVITY_CRITERIA`. */
  readonly criteria?: readonly ConductivityCriterion[];
}

/** The conductivity of one water by one form. */
export interface ComputedForm {
  readonly form: ConductivityForm;
  readonly ionPairs: boolean;
  /** µS/cm at 25 °C */
  readonly computed: number;
  /** 100·(computed − measured)/measured */
  readonly percentDifference: number;
}

/** A computed conductivity beside a measured one, both at 25 °C. */
export interface ConductivityComparison {
  readonly kind: "conductivity-comparison";
  /** µS/cm; by "onsager", with ion pairs where they are counted. */
  readonly computed: MeasuredValue;
  /** µS/cm */
  readonly measured: MeasuredValue;
  /** Computed − measured, µS/cm. */
  readonly difference: MeasuredValue;
  /** 100·(computed − measured)/measured */
  readonly percentDifference: MeasuredValue;
  /** Computed/measured. */
  readonly ratio: MeasuredValue;
  /** Difference over its standard uncertainty. */
  readonly normalizedDifference: number;
  readonly ionPairs: boolean;
  /** What every form gives, with and without pairs: reports mean different ones by the same words. */
  readonly forms: readonly ComputedForm[];
  readonly criteria: readonly ConductivityCriterionResult[];
  /** By the first rule that applies; true where the caller left none. */
  readonly passed: boolean;
  /** "assumed-pH" and the other flags of the analysis. */
  readonly flags: readonly string[];
  /** mol/L */
  readonly ionicStrength: number;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const KNOWN: Readonly<Record<keyof ConductivityComparisonOptions, true>> = {
  pH: true,
  temperature: true,
  alkalinity: true,
  alkalinityEndpoint: true,
  carbonDioxide: true,
  measuredAt: true,
  temperatureRule: true,
  ionPairs: true,
  precipitation: true,
  criteria: true,
};
const DILUTE = 0.5;

/**
 * The conductivity computed from the ions beside the measured one: difference with its uncertainty (ions, model and reading,
 * all correlations kept), every published criterion that applies, and what each form of the computation gives.
 *
 * κ by `computedConductivity` "onsager"; (κ − κ_m)/u(κ − κ_m); κ/κ_m; 100·S/κ_m; 100·(κ − κ_m)/κ_m; 100·(κ − κ_m)/(κ + κ_m).
 * κ in µS/cm at 25 °C, S in meq/L. A conductivity that fits proves neither accuracy nor that the water may be drunk.
 *
 * @param concentrations mg/L by ion
 * @param measured µS/cm; a plain number counts as exact, so that the model's uncertainty alone is left
 * @throws IonbookError as `computedConductivity`; "bad-conductivity" for a reading that is not above 0 or not in µS/cm;
 *   "nothing-to-compare" without charge; "unknown-option", "bad-criterion", "unknown-rule", "outside-validity"
 * @source `CONDUCTIVITY_CRITERIA`, `TEMPERATURE_RULES`; uncertainty: JCGM 100, 5.2
 */
export function compareConductivity(
  concentrations: Concentrations,
  measured: number | MeasuredValue,
  options: ConductivityComparisonOptions = {},
): ConductivityComparison {
  requireKnownOptions(options, KNOWN, "compareConductivity");
  const { measuredAt = 25, temperatureRule = "linear" } = options;
  const reading = conductivityAt25(readingOf(measured), measuredAt, temperatureRule);
  const input = readWater(concentrations, options);
  const state = waterState(input);
  const pairs = pairsFor(state, options.ionPairs);
  const computed = conductivityOfInput(input, { form: "onsager", pairs, temperature: 25 });
  const [cations, anions] = [sideOf(state.forms, 1), sideOf(state.forms, -1)];
  if (!(cations + anions > 0)) {
    throw new IonbookError(
      "nothing-to-compare",
      "no charge is found in these concentrations: give at least one ion",
    );
  }
  const difference = minus(computed, reading);
  const pair = { c: computed, m: reading };
  const criteria = applyConductivityCriteria(
    {
      computed: computed.value,
      measured: reading.value,
      uDifference: difference.u,
      cations,
      anions,
      precipitation: options.precipitation ?? cations + anions <= DILUTE,
    },
    options.criteria,
  );
  const result: ConductivityComparison = {
    kind: "conductivity-comparison",
    computed,
    measured: reading,
    difference,
    percentDifference: propagate(({ c, m }) => (100 * (c - m)) / m, pair, "%"),
    ratio: propagate(({ c, m }) => c / m, pair, "1"),
    normalizedDifference: difference.value / difference.u,
    ionPairs: pairs.length > 0,
    forms: allForms(state, pairs.length > 0 ? pairs : ION_PAIRS, reading.value),
    criteria,
    passed: criteria.length === 0 || criteria[0].passed,
    flags: input.flags,
    ionicStrength: state.ionicStrength,
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function readingOf(measured: unknown): MeasuredValue {
  const value =
    typeof measured === "number" && Number.isFinite(measured) ? exactly(measured, "µS/cm") : measured;
  if (isMeasuredValue(value) && value.value > 0 && value.unit === "µS/cm") return value;
  const said = isMeasuredValue(value) ? `${value.value} ${value.unit}` : String(measured);
  throw new IonbookError(
    "bad-conductivity",
    `the measured conductivity is ${said}: give µS/cm above 0, compareConductivity({ sodium: 23, chloride: 35.5 }, 126)`,
  );
}

function pairsFor(state: WaterState, option: boolean | readonly IonPair[] | undefined): readonly IonPair[] {
  return pairsInForce(option ?? hasSulfatePairs(state.forms));
}

function sideOf(forms: readonly DissolvedForm[], sign: 1 | -1): number {
  return forms.reduce((sum, { amount, charge }) => sum + Math.max(0, sign * charge) * amount, 0);
}

function allForms(state: WaterState, pairs: readonly IonPair[], measured: number): readonly ComputedForm[] {
  const of = (form: ConductivityForm, ionPairs: boolean): ComputedForm => {
    const computed = conductivityOf(state.forms, form, ionPairs ? pairs : []);
    return { form, ionPairs, computed, percentDifference: 100 * (computed / measured - 1) };
  };
  return [of("onsager", true), of("onsager", false), of("standard-methods", false), of("limiting", false)];
}

function describe(comparison: ConductivityComparison): string {
  const { computed, measured, percentDifference, normalizedDifference, ionPairs, passed } = comparison;
  const lines = [
    `computed ${computed}${ionPairs ? " with ion pairs" : ""}, measured ${inWords(measured)} at 25 °C`,
    `difference ${percentDifference} of the measured, ${normalizedDifference.toFixed(1)} standard uncertainties: ${passed ? "passed" : "failed"}`,
    ...comparison.criteria.map(
      ({ source, limit, found, passed: met }) =>
        `  ${met ? "passed" : "failed"} ${limit}, found ${Number(found.toPrecision(3))}: ${source}`,
    ),
    ...comparison.forms.map(
      ({ form, ionPairs: paired, computed: value, percentDifference: percent }) =>
        `  ${form}${paired ? " with ion pairs" : ""}: ${Number(value.toPrecision(4))} µS/cm (${percent > 0 ? "+" : ""}${percent.toFixed(1)} %)`,
    ),
  ];
  if (comparison.flags.length > 0) lines.push(`flags: ${comparison.flags.join("; ")}`);
  return lines.join("\n");
}

/** A reading without uncertainty has no digit to stop at: four significant ones are enough. */
function inWords(value: MeasuredValue): string {
  return value.u > 0 ? String(value) : `${Number(value.value.toPrecision(4))} ${value.unit}`;
}

import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { combineLinear, type MeasuredValue, measured, minus, plus } from "../../uncertainty/measured.js";
import {
  type Concentrations,
  readWater,
  type WaterInput,
  type WaterOptions,
} from "../analysis/water-input.js";
import {
  type DissolvedForm,
  numbersOf,
  type WaterNumbers,
  type WaterState,
  waterState,
} from "../analysis/water-state.js";
import {
  type ConductivityForm,
  conductivityModel,
  requireForm,
  UNKNOWN_ANION,
  UNKNOWN_CATION,
} from "./conductivity-model.js";
import { type IonPair, pairsInForce } from "./ion-pairs.js";
import { temperatureFactor } from "./temperature.js";

export interface ConductivityOptions extends WaterOptions {
  /** °C of the answer; default 25. */
  readonly temperature?: number;
  /**
   * "onsager" (default) is the better form; "standard-methods" is kept for comparison with reports that use it; "limiting" is
   * that of infinite dilution.
   */
  readonly form?: ConductivityForm;
  /**
   * Take ion pairs out of the free ions: true for `ION_PAIRS`, or a list of one's own. Default false, the published formulas
   * as they stand; `compareConductivity` pairs wherever calcium or magnesium meets sulfate.
   */
  readonly ionPairs?: boolean | readonly IonPair[];
}

const KNOWN: Readonly<Record<keyof ConductivityOptions, true>> = {
  pH: true,
  temperature: true,
  alkalinity: true,
  alkalinityEndpoint: true,
  carbonDioxide: true,
  form: true,
  ionPairs: true,
};
const UNIT = "µS/cm";

/**
 * Conductivity computed from the ions, µS/cm, with the uncertainty of the ions and of the model.
 *
 * "onsager": κ = Σ λᵢ·eᵢ, λᵢ = λᵢ° − (30.3·|zᵢ| + 0.229·|zᵢ|·z̄·λᵢ°)·√I/(1 + √I); eᵢ meq/L, λ° limiting conductivity per
 * equivalent in S·cm²/eq, z̄ = Σ eⱼ|zⱼ|/Σ eⱼ over the ions of opposite sign, I ionic strength in mol/L.
 * "standard-methods": κ = y²·Σ λᵢ°·eᵢ, y = 10^(−0.5·[√I/(1 + √I) − 0.3·I]). "limiting": κ = Σ λᵢ°·eᵢ.
 * At another temperature: κ·[1 + 0.0191·(t − 25)].
 *
 * `ionPairs` takes CaSO4, MgSO4, NaSO4−, KSO4−, CaHCO3+ and MgHCO3+ out of the free ions first (constants with Davies'
 * coefficients). Of 16 published waters 12 then come within 5 % and 14 within 10 %, 9 and 13 without. "standard-methods"
 * over-corrects already, which partly stands in for pairs: with `ionPairs` it corrects twice.
 *
 * Model uncertainty of "onsager": 2 % below I 0.01 mol/L, 4 % to 0.1 and 15 % beyond; without pairs at least 5 % where
 * calcium or magnesium meets sulfate, mostly calculated too high. "standard-methods" corrects too much (KCl: −4.9 % at 0.001,
 * −13 % at 0.01, −28 % at 0.1 mol/L), "limiting" not at all; their difference to "onsager" enters their uncertainty. A form
 * without a conductivity of its own counts with the mean of its class, whose spread is included.
 *
 * @param concentrations mg/L by ion
 * @throws IonbookError as `chargeBalance`; "outside-validity" below 0 and above 60 °C; "unknown-option", "bad-option"
 * @source L. Onsager, Phys. Z. 28 (1927) 277 with √I/(1 + √I) for √I (form without source, checked against the KCl table); Standard Methods for the
 *   Examination of Water and Wastewater, 2510 (from memory); limiting conductivities: `ion(name).sources`; pairs: `ION_PAIRS`
 */
export function computedConductivity(
  concentrations: Concentrations,
  options: ConductivityOptions = {},
): MeasuredValue {
  requireKnownOptions(options, KNOWN, "computedConductivity");
  const { form = "onsager", temperature = 25 } = options;
  requireForm(form);
  const pairs = pairsInForce(options.ionPairs ?? false);
  if (!(temperature >= 0 && temperature <= 60)) {
    throw new IonbookError(
      "outside-validity",
      `a conductivity can be computed from 0 to 60 °C, not at ${temperature}`,
    );
  }
  return conductivityOfInput(readWater(concentrations, options), { form, pairs, temperature });
}

/** How a conductivity is computed, all settled. */
export interface SettledConductivity {
  readonly form: ConductivityForm;
  readonly pairs: readonly IonPair[];
  /** °C */
  readonly temperature: number;
}

/** The same for a water that is read already. */
export function conductivityOfInput(input: WaterInput, settled: SettledConductivity): MeasuredValue {
  const { form, pairs, temperature } = settled;
  const scale = temperatureFactor(temperature);
  const evaluate = (numbers: WaterNumbers): number =>
    scale * conductivityOf(waterState(input, numbers).forms, form, pairs);
  const numbers = numbersOf(input);
  const value = evaluate(numbers);
  const fromIons = combineLinear(sensitivities(input, numbers, evaluate), UNIT);
  const model = measured(
    0,
    UNIT,
    { u: modelUncertainty(waterState(input, numbers), form, pairs) * value },
    {
      source: `model of computed conductivity (${form})`,
    },
  );
  return plus(plus(fromIons, model), value - fromIons.value);
}

/**
 * Conductivity of charged forms at 25 °C, µS/cm, plain number. For many evaluations of the same forms set up a
 * `conductivityModel` once.
 */
export function conductivityOf(
  forms: readonly DissolvedForm[],
  form: ConductivityForm,
  pairs: readonly IonPair[] = [],
): number {
  return conductivityModel(forms, form, pairs)(Float64Array.from(forms, ({ amount }) => amount));
}

/** One term for each uncertain number of the input; differences over a small step, since κ bends only through √I. */
function sensitivities(
  input: WaterInput,
  numbers: WaterNumbers,
  evaluate: (numbers: WaterNumbers) => number,
): readonly { readonly value: MeasuredValue; readonly factor: number }[] {
  const slope = (size: number, at: (step: number) => WaterNumbers): number => {
    const step = Math.max(1e-4 * Math.abs(size), 1e-7);
    return (evaluate(at(step)) - evaluate(at(-step))) / (2 * step);
  };
  const terms = input.solutes
    .map(({ concentration }, i) => ({ concentration, i }))
    .filter(({ concentration }) => concentration.u > 0)
    .map(({ concentration, i }) => ({
      value: concentration,
      factor: slope(numbers.amounts[i], (step) => ({
        ...numbers,
        amounts: numbers.amounts.map((amount, j) => (j === i ? amount + step : amount)),
      })),
    }));
  const { alkalinity, pH } = input;
  if (alkalinity !== undefined && alkalinity.u > 0) {
    const at = (step: number) => ({ ...numbers, alkalinity: numbers.alkalinity + step });
    terms.push({ value: alkalinity, factor: slope(numbers.alkalinity, at) });
  }
  if (pH.u > 0) {
    const at = (step: number) => ({ ...numbers, pH: numbers.pH + step });
    terms.push({ value: minus(pH, pH.value), factor: slope(numbers.pH, at) });
  }
  return terms;
}

/** Relative standard uncertainty of the model for this water. */
function modelUncertainty(state: WaterState, form: ConductivityForm, pairs: readonly IonPair[]): number {
  const strength = state.ionicStrength;
  const bySize = strength < 0.01 ? 0.02 : strength <= 0.1 ? 0.04 : 0.15;
  const unpaired = pairs.length === 0 && hasSulfatePairs(state.forms);
  const onsager = Math.max(bySize, unpaired ? 0.05 : 0);
  const total = conductivityOf(state.forms, "onsager", pairs);
  const guessed = state.forms
    .filter(({ ion }) => ion?.limitingMolarConductivity === undefined)
    .reduce((sum, { amount, charge }) => {
      return sum + amount * Math.abs(charge) * (charge > 0 ? UNKNOWN_CATION.u : UNKNOWN_ANION.u);
    }, 0);
  const classSpread = total > 0 ? guessed / total : 0;
  if (form === "onsager") return Math.hypot(onsager, classSpread);
  const gap = total > 0 ? Math.abs(conductivityOf(state.forms, form, pairs) / total - 1) : 0;
  return Math.hypot(Math.max(onsager, gap), classSpread);
}

/** True where calcium or magnesium meets sulfate, so that pairs are worth counting. */
export function hasSulfatePairs(forms: readonly DissolvedForm[]): boolean {
  const has = (name: string): boolean => forms.some((each) => each.name === name && each.amount > 0);
  return has("sulfate") && (has("calcium") || has("magnesium"));
}

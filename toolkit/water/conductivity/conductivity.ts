import { IonbookError } from "../../errors.js";
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

export interface ConductivityOptions extends WaterOptions {
  /** °C of the answer; default 25. */
  readonly temperature?: number;
  /** "onsager" is the better form; "standard-methods" is kept for comparison with reports that use it. */
  readonly form?: "onsager" | "standard-methods";
}

/** Mean ± s.d. of limiting conductivities per equivalent, for a form without an entry of its own. */
const UNKNOWN_ANION = { mean: 59.0, u: 15.6 };
const UNKNOWN_CATION = { mean: 58.6, u: 12 };
const PER_KELVIN = 0.0191;
const UNIT = "µS/cm";

/**
 * Conductivity computed from the ions, µS/cm, with the uncertainty of the ions and of the model.
 *
 * "onsager": κ = Σ λᵢ·eᵢ, λᵢ = λᵢ° − (30.3·|zᵢ| + 0.229·|zᵢ|·z̄·λᵢ°)·√I/(1 + √I); eᵢ meq/L, λ° limiting conductivity per
 * equivalent in S·cm²/eq, z̄ = Σ eⱼ|zⱼ|/Σ eⱼ over the ions of opposite sign, I ionic strength in mol/L.
 * "standard-methods": κ = y²·Σ λᵢ°·eᵢ, y = 10^(−0.5·[√I/(1 + √I) − 0.3·I]).
 * At another temperature: κ·[1 + 0.0191·(t − 25)].
 *
 * Without ion pairs: reads high in hard, sulfate-rich waters. Model uncertainty of "onsager": 2 % below I 0.01 mol/L,
 * 4 % to 0.1 and 15 % beyond, and at least 5 % where calcium or magnesium meets sulfate. "standard-methods" corrects too
 * much (KCl: −4.9 % at 0.001, −13 % at 0.01, −28 % at 0.1 mol/L); its difference to "onsager" enters its uncertainty. A
 * form without a conductivity of its own counts with the mean of its class, whose spread is included.
 *
 * @param concentrations mg/L by ion
 * @throws IonbookError as `chargeBalance`; "outside-validity" below 0 and above 60 °C
 * @source L. Onsager, Phys. Z. 28 (1927) 277 with √I/(1 + √I) for √I (form without source, checked against the KCl table); Standard Methods for the
 *   Examination of Water and Wastewater, 2510 (from memory); limiting conductivities: `ion(name).sources`
 */
export function computedConductivity(
  concentrations: Concentrations,
  options: ConductivityOptions = {},
): MeasuredValue {
  const { form = "onsager", temperature = 25 } = options;
  if (!(temperature >= 0 && temperature <= 60)) {
    throw new IonbookError(
      "outside-validity",
      `a conductivity can be computed from 0 to 60 °C, not at ${temperature}`,
    );
  }
  const input = readWater(concentrations, options);
  const scale = 1 + PER_KELVIN * (temperature - 25);
  const evaluate = (numbers: WaterNumbers): number =>
    scale * conductivityOf(waterState(input, numbers).forms, form);
  const numbers = numbersOf(input);
  const value = evaluate(numbers);
  const fromIons = combineLinear(sensitivities(input, numbers, evaluate), UNIT);
  const model = measured(
    0,
    UNIT,
    { u: modelUncertainty(waterState(input, numbers), form) * value },
    {
      source: `model of computed conductivity (${form})`,
    },
  );
  return plus(plus(fromIons, model), value - fromIons.value);
}

/** Conductivity of charged forms at 25 °C, µS/cm, plain number. */
export function conductivityOf(
  forms: readonly DissolvedForm[],
  form: "onsager" | "standard-methods",
): number {
  const strength = forms.reduce((sum, { amount, charge }) => sum + amount * charge ** 2, 0) / 2000;
  const root = Math.sqrt(strength);
  const limiting = forms.reduce((sum, each) => sum + equivalents(each) * perEquivalent(each), 0);
  if (form === "standard-methods") return limiting * 10 ** -(root / (1 + root) - 0.3 * strength);
  const counter = { cation: meanCounterCharge(forms, 1), anion: meanCounterCharge(forms, -1) };
  return forms.reduce((sum, each) => {
    const z = Math.abs(each.charge);
    const lambda = perEquivalent(each);
    const opposite = each.charge > 0 ? counter.anion : counter.cation;
    const slowed = lambda - ((30.3 * z + 0.229 * z * opposite * lambda) * root) / (1 + root);
    return sum + slowed * equivalents(each);
  }, 0);
}

function equivalents({ amount, charge }: DissolvedForm): number {
  return amount * Math.abs(charge);
}

function perEquivalent({ ion, charge }: DissolvedForm): number {
  const molar = ion?.limitingMolarConductivity;
  if (molar !== undefined) return molar / Math.abs(charge);
  return charge > 0 ? UNKNOWN_CATION.mean : UNKNOWN_ANION.mean;
}

function meanCounterCharge(forms: readonly DissolvedForm[], sign: 1 | -1): number {
  let weighted = 0;
  let sum = 0;
  for (const each of forms) {
    if (Math.sign(each.charge) !== sign) continue;
    weighted += equivalents(each) * Math.abs(each.charge);
    sum += equivalents(each);
  }
  return sum === 0 ? 1 : weighted / sum;
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
function modelUncertainty(state: WaterState, form: "onsager" | "standard-methods"): number {
  const has = (name: string): boolean => state.forms.some((each) => each.name === name && each.amount > 0);
  const pairing = has("sulfate") && (has("calcium") || has("magnesium"));
  const strength = state.ionicStrength;
  const bySize = strength < 0.01 ? 0.02 : strength <= 0.1 ? 0.04 : 0.15;
  const onsager = Math.max(bySize, pairing ? 0.05 : 0);
  const total = conductivityOf(state.forms, "onsager");
  const guessed = state.forms
    .filter(({ ion }) => ion?.limitingMolarConductivity === undefined)
    .reduce(
      (sum, each) => sum + equivalents(each) * (each.charge > 0 ? UNKNOWN_CATION.u : UNKNOWN_ANION.u),
      0,
    );
  const classSpread = total > 0 ? guessed / total : 0;
  if (form === "onsager") return Math.hypot(onsager, classSpread);
  const gap = total > 0 ? Math.abs(conductivityOf(state.forms, form) / total - 1) : 0;
  return Math.hypot(Math.max(onsager, gap), classSpread);
}

import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { combineLinear, type MeasuredValue, minus, plus, propagate } from "../../uncertainty/measured.js";
import {
  type Concentrations,
  readWater,
  type WaterInput,
  type WaterOptions,
} from "../analysis/water-input.js";
import { numbersOf, type WaterState, waterState } from "../analysis/water-state.js";
import { conductivityOf } from "../conductivity/conductivity.js";
import { applyCriteria, type BalanceCriterion, type CriterionResult } from "./balance-criteria.js";
import { type Suspect, suspectsOf } from "./suspects.js";

export interface BalanceOptions extends WaterOptions {
  /** Measured conductivity at 25 °C, µS/cm; used only to order the suspects. */
  readonly conductivity?: number;
  /** Charge of unidentified anions, meq/L; not added to the anions, but considered among the suspects. */
  readonly unknownAnions?: number | MeasuredValue;
  /** Rain, snow and other atmospheric water: their criteria apply too. Default: when both sides are below 0.5 meq/L together. */
  readonly precipitation?: boolean;
  /** Rules to apply; default `BALANCE_CRITERIA`. */
  readonly criteria?: readonly BalanceCriterion[];
}

/** One ion's charge. */
export interface BalancePart {
  readonly ion: string;
  readonly side: "cation" | "anion";
  /** meq/L, magnitude */
  readonly milliequivalents: MeasuredValue;
}

export interface ChargeBalance {
  readonly kind: "charge-balance";
  /** meq/L */
  readonly cations: MeasuredValue;
  /** meq/L, magnitude */
  readonly anions: MeasuredValue;
  /** Cations − anions, meq/L. */
  readonly difference: MeasuredValue;
  /** 100·(C − A)/(C + A) */
  readonly percentDifference: MeasuredValue;
  /** Difference over its standard uncertainty; undefined where all inputs are taken as exact. */
  readonly normalizedDifference: number | undefined;
  /** Largest first. */
  readonly parts: readonly BalancePart[];
  readonly criteria: readonly CriterionResult[];
  /**
   * By the first rule that applies: the difference against its own uncertainty, else for precipitation its own rules, else
   * Standard Methods 1030 E. True where the caller left no rule.
   */
  readonly passed: boolean;
  /** Likeliest first; empty where the balance passed. Hints what to check, never a correction. */
  readonly suspects: readonly Suspect[];
  /** "assumed-pH", "alkalinity-as-hydrogencarbonate", "carbonate-in-alkalinity", "alkalinity-used-up". */
  readonly flags: readonly string[];
  /** mol/L */
  readonly ionicStrength: number;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** Without uncertainties a balance counts as closed within this part of both sums. */
const CLOSED_PERCENT = 2;
const DILUTE = 0.5;

/**
 * The balance of charge of a water: both sums in meq/L, their difference with its uncertainty, all correlations kept,
 * beside the criteria that apply.
 *
 * e = |z̄|·c/M, c mg/L, M g/mol, z̄ mean charge number over the forms at the pH; D = C − A; percent 100·D/(C + A).
 * H⁺ = 10^(3 − pH)/γ, and above pH 9 OH⁻ = 10^(3 + pH − 13.995)/γ meq/L, unless "H+" or "OH-" is given; γ by Davies.
 * Without pH, weak acids and bases are taken at pH 7 and the result is flagged "assumed-pH". Alkalinity
 * (|z|·n = mg/L CaCO3/50.043) is used only where no hydrogencarbonate is given: what other bases take of it is left to
 * them. Hydrogencarbonate and carbonate given by name keep their own charge; sulfate is taken as SO4^2− above pH 4.
 *
 * @param concentrations mg/L by ion; `MeasuredValue`s keep their sources
 * @throws IonbookError "unknown-ion", "duplicate-ion", "negative-concentration", "not-a-number", "unit-mismatch", "bad-pH";
 *   "nothing-to-balance" where no charge is found at all
 * @source J.D. Hem, USGS Water-Supply Paper 2254 (1985); Standard Methods 1030 E; uncertainty: JCGM 100, 5.2
 */
export function chargeBalance(concentrations: Concentrations, options: BalanceOptions = {}): ChargeBalance {
  const input = readWater(concentrations, options);
  const state = waterState(input);
  const parts = partsOf(input, state);
  const cations = sumOf(parts, "cation");
  const anions = sumOf(parts, "anion");
  if (!(cations.value + anions.value > 0)) {
    throw new IonbookError(
      "nothing-to-balance",
      "no charge is found in these concentrations: give at least one ion",
    );
  }
  const difference = minus(cations, anions);
  const figures = {
    cations: cations.value,
    anions: anions.value,
    uDifference: difference.u,
    precipitation: options.precipitation ?? cations.value + anions.value <= DILUTE,
  };
  const criteria = applyCriteria(figures, options.criteria);
  const passed = criteria.length === 0 || criteria[0].passed;
  const result: ChargeBalance = {
    kind: "charge-balance",
    cations,
    anions,
    difference,
    percentDifference: propagate(({ C, A }) => (100 * (C - A)) / (C + A), { C: cations, A: anions }, "%"),
    normalizedDifference: difference.u > 0 ? difference.value / difference.u : undefined,
    parts,
    criteria,
    passed,
    suspects: passed ? [] : diagnose(input, state, parts, difference, options),
    flags: state.alkalinityUsedUp ? [...input.flags, "alkalinity-used-up"] : input.flags,
    ionicStrength: state.ionicStrength,
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function partsOf(input: WaterInput, state: WaterState): readonly BalancePart[] {
  const parts: BalancePart[] = [];
  const slopes = input.pH.u > 0 ? slopesByPH(input) : undefined;
  const pHError = minus(input.pH, input.pH.value);
  const add = (ion: string, sign: number, terms: Terms, slope: number | undefined): void => {
    const varied = slope === undefined ? terms : [...terms, { value: pHError, factor: slope }];
    parts.push({
      ion,
      side: sign > 0 ? "cation" : "anion",
      milliequivalents: combineLinear(varied, "meq/L"),
    });
  };
  input.solutes.forEach(({ ion, concentration }, i) => {
    const sign = Math.sign(ion.charge);
    const factor = (sign * state.meanCharges[i]) / ion.molarMass;
    add(ion.name, sign, [{ value: concentration, factor }], slopes && sign * slopes.solutes[i]);
  });
  const fixed = (name: string, sign: number, amount: number, slope: number | undefined): void => {
    if (amount <= 0) return;
    add(name, sign, [], slope);
    const part = parts[parts.length - 1];
    parts[parts.length - 1] = { ...part, milliequivalents: plus(part.milliequivalents, amount) };
  };
  fixed("hydrogen", 1, state.hydrogen, slopes?.hydrogen);
  fixed("hydroxide", -1, state.hydroxide, slopes?.hydroxide);
  if (state.carbonate > 0) parts.push(carbonatePart(input, state, pHError, slopes?.carbonate));
  return parts.sort((a, b) => b.milliequivalents.value - a.milliequivalents.value);
}

type Terms = readonly { readonly value: MeasuredValue; readonly factor: number }[];

/** Alkalinity less what the other bases take of it: shares the sources of both. */
function carbonatePart(
  input: WaterInput,
  state: WaterState,
  pHError: MeasuredValue,
  slope: number | undefined,
): BalancePart {
  const terms = [
    ...(input.alkalinity ? [{ value: input.alkalinity, factor: 1 }] : []),
    ...input.solutes.map(({ ion, concentration }, i) => ({
      value: concentration,
      factor: -state.titratedCharges[i] / ion.molarMass,
    })),
    ...(slope === undefined ? [] : [{ value: pHError, factor: slope }]),
  ];
  const milliequivalents = plus(combineLinear(terms, "meq/L"), state.hydrogen - state.hydroxide);
  return { ion: "hydrogencarbonate", side: "anion", milliequivalents };
}

/** Change of each part by one pH unit, meq/L, from a small difference. */
function slopesByPH(input: WaterInput) {
  const step = 1e-4;
  const numbers = numbersOf(input);
  const high = waterState(input, { ...numbers, pH: numbers.pH + step });
  const low = waterState(input, { ...numbers, pH: numbers.pH - step });
  const slope = (a: number, b: number): number => (a - b) / (2 * step);
  return {
    solutes: input.solutes.map(
      ({ ion }, i) => (slope(high.meanCharges[i], low.meanCharges[i]) * numbers.amounts[i]) / ion.molarMass,
    ),
    hydrogen: slope(high.hydrogen, low.hydrogen),
    hydroxide: slope(high.hydroxide, low.hydroxide),
    carbonate: slope(high.carbonate, low.carbonate),
  };
}

function sumOf(parts: readonly BalancePart[], side: "cation" | "anion"): MeasuredValue {
  const terms = parts
    .filter((part) => part.side === side)
    .map((part) => ({ value: part.milliequivalents, factor: 1 }));
  return combineLinear(terms, "meq/L");
}

function diagnose(
  input: WaterInput,
  state: WaterState,
  parts: readonly BalancePart[],
  difference: MeasuredValue,
  options: BalanceOptions,
): readonly Suspect[] {
  const total = parts.reduce((sum, { milliequivalents }) => sum + milliequivalents.value, 0);
  const { conductivity, unknownAnions } = options;
  return suspectsOf({
    shares: parts.map((part) => ({ ...part, milliequivalents: part.milliequivalents.value })),
    difference: difference.value,
    tolerance: difference.u > 0 ? 2 * difference.u : (CLOSED_PERCENT / 100) * total,
    pH: input.pHAssumed ? undefined : input.pH.value,
    carbonateKnown: input.alkalinity !== undefined || parts.some(({ ion }) => ion === "hydrogencarbonate"),
    unknownAnions: typeof unknownAnions === "object" ? unknownAnions.value : unknownAnions,
    conductivityRatio:
      conductivity !== undefined && conductivity > 0
        ? conductivityOf(state.forms, "onsager") / conductivity
        : undefined,
  });
}

function describe(balance: ChargeBalance): string {
  const lines = [
    `cations ${inWords(balance.cations)}, anions ${inWords(balance.anions)}`,
    `difference ${inWords(balance.percentDifference)} of the sum of both: ${balance.passed ? "passed" : "failed"}`,
    ...balance.criteria.map(
      ({ source, limit, passed }) => `  ${passed ? "passed" : "failed"} ${limit}: ${source}`,
    ),
    ...balance.suspects.map(({ cause, why }) => `  suspect: ${cause} (${why})`),
  ];
  if (balance.flags.length > 0) lines.push(`flags: ${balance.flags.join("; ")}`);
  return lines.join("\n");
}

/** A value without uncertainty has no digit to stop at: four significant ones are enough for a balance. */
function inWords(value: MeasuredValue): string {
  return value.u > 0 ? String(value) : `${Number(value.value.toPrecision(4))} ${value.unit}`;
}

import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { combineLinear, type MeasuredValue, minus, propagate } from "../../uncertainty/measured.js";
import {
  type Concentrations,
  readWater,
  WATER_OPTIONS,
  type WaterInput,
  type WaterOptions,
} from "../analysis/water-input.js";
import { type WaterState, waterState } from "../analysis/water-state.js";
import { conductivityOf } from "../conductivity/conductivity.js";
import { ION_PAIRS } from "../conductivity/ion-pairs.js";
import { diagnoseBalance } from "../diagnosis/diagnose-balance.js";
import { type CoverageNote, type CoverageRule, coverageOf } from "./balance-coverage.js";
import {
  applyCriteria,
  type BalanceCriterion,
  type BalanceVerdict,
  type CriterionResult,
  verdictOfE,
} from "./balance-criteria.js";
import { flagsOf } from "./balance-flags.js";
import { type BalancePart, partsOf } from "./balance-parts.js";
import { describe } from "./balance-words.js";
import { type BalanceConvention, conventionsOf } from "./conventions.js";
import { type Suspect, suspectsOf, withDiagnosed } from "./suspects.js";
import {
  type BoundedCharge,
  type DifferenceWithUnknowns,
  readUnknownCharge,
  type UnknownCharge,
  withUnknownCharge,
} from "./unknown-charge.js";

export type { BalancePart };

export interface BalanceOptions extends WaterOptions {
  /** Measured conductivity at 25 °C, µS/cm; used only to order the suspects. */
  readonly conductivity?: number;
  /**
   * Charge of unidentified anions, meq/L: a value, `{ lowerBound }` where there may be more of it, or `{ low, high }`. Not
   * added to the anions unless `countUnknowns` asks for it, but told beside the difference (`withUnknowns`) and considered
   * among the suspects.
   */
  readonly unknownAnions?: UnknownCharge;
  /** True: the least unknown charge is one of the anions in every sum, figure and criterion. Default false. */
  readonly countUnknowns?: boolean;
  /** Rain, snow and other atmospheric water: their criteria apply too. Default: when both sides are below 0.5 meq/L together. */
  readonly precipitation?: boolean;
  /** Rules to apply; default `BALANCE_CRITERIA`. */
  readonly criteria?: readonly BalanceCriterion[];
  /** Rules on what a balance must contain; default `COVERAGE_RULES`. They are told, they do not judge. */
  readonly coverageRules?: readonly CoverageRule[];
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
  /** "pass" to 2 standard uncertainties, "warn" to 3, else "fail"; undefined where all inputs are taken as exact. */
  readonly verdict: BalanceVerdict | undefined;
  /** The same difference in the conventions (a) to (e): each says which it is. */
  readonly conventions: readonly BalanceConvention[];
  /** The difference with unidentified anions counted, an interval where they are bounded; undefined where none are given. */
  readonly withUnknowns: DifferenceWithUnknowns | undefined;
  /** What rules on the contents of a balance say of this one. */
  readonly coverage: readonly CoverageNote[];
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
  /**
   * "assumed-pH", "alkalinity-as-hydrogencarbonate", "carbonate-in-alkalinity", "alkalinity-used-up";
   * "hydrogencarbonate-from-air"; "no-balance-test": the carbonate was taken from the difference itself;
   * "organic-acids-in-alkalinity": their part was taken out of it, they count by name;
   * "organic-acids-beside-hydrogencarbonate": counted twice if that was computed from a titration;
   * "metal-hydrolysis": aluminium and iron(III) count by their hydroxide complexes; "constants-at-25": acid constants not known
   * at the temperature; "activity-beyond-validity": above 0.5 mol/L; "unknowns-counted".
   */
  readonly flags: readonly string[];
  /** mol/L */
  readonly ionicStrength: number;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** Without uncertainties a balance counts as closed within this part of both sums. */
const CLOSED_PERCENT = 2;
const DILUTE = 0.5;
/** What unidentified anions are called where they are counted among the parts. */
export const UNIDENTIFIED = "unidentified anions";
const KNOWN_OPTIONS: Readonly<Record<keyof BalanceOptions, true>> = {
  pH: true,
  temperature: true,
  alkalinity: true,
  alkalinityEndpoint: true,
  carbonDioxide: true,
  conductivity: true,
  unknownAnions: true,
  countUnknowns: true,
  precipitation: true,
  criteria: true,
  coverageRules: true,
};

/**
 * The balance of charge of a water: both sums in meq/L, their difference with its uncertainty, all correlations kept,
 * beside the criteria that apply.
 *
 * e = |z̄|·c/M, c mg/L, M g/mol, z̄ mean charge number over the forms at the pH; D = C − A; percent 100·D/(C + A).
 * H⁺ = 10^(3 − pH)/γ, and above pH 9 OH⁻ = 10^(3 + pH − 13.995)/γ meq/L, unless "H+" or "OH-" is given; γ by Davies.
 * Without pH, weak acids and bases are taken at pH 7 and the result is flagged "assumed-pH". Alkalinity
 * (|z|·n = mg/L CaCO3/50.043) is used only where no hydrogencarbonate is given: what other bases take of it is left to
 * them, so that an organic acid given by name is not counted in the alkalinity besides. `carbonDioxide` takes
 * hydrogencarbonate from equilibrium with air instead. Hydrogencarbonate and carbonate given by name keep their own charge;
 * sulfate is taken as SO4^2− above pH 4. Aluminium and iron(III) count by their hydrolysis where a pH is given.
 *
 * @param concentrations mg/L by ion; `MeasuredValue`s keep their sources
 * @throws IonbookError "unknown-ion", "duplicate-ion", "negative-concentration", "not-a-number", "unit-mismatch", "bad-pH",
 *   "bad-temperature", "bad-endpoint", "bad-partial-pressure", "no-pH", "two-carbonates"; "no-balance-test" for an alkalinity
 *   "by difference"; "bad-unknown-charge", "bad-criterion", "unknown-option"; "nothing-to-balance" where no charge is found at all
 * @source J.D. Hem, USGS Water-Supply Paper 2254 (1985); Standard Methods 1030 E; uncertainty: JCGM 100, 5.2
 */
export function chargeBalance(concentrations: Concentrations, options: BalanceOptions = {}): ChargeBalance {
  requireKnownOptions(options, KNOWN_OPTIONS, "chargeBalance");
  const input = readWater(concentrations, options);
  const state = waterState(input);
  const unknown = options.unknownAnions === undefined ? undefined : readUnknownCharge(options.unknownAnions);
  const analysed = partsOf(input, state);
  const counted = unknown !== undefined && options.countUnknowns === true;
  const parts = counted ? withPart(analysed, unknown.from) : analysed;
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
  const normalizedDifference = difference.u > 0 ? difference.value / difference.u : undefined;
  const result: ChargeBalance = {
    kind: "charge-balance",
    cations,
    anions,
    difference,
    percentDifference: propagate(({ C, A }) => (100 * (C - A)) / (C + A), { C: cations, A: anions }, "%"),
    normalizedDifference,
    verdict: normalizedDifference === undefined ? undefined : verdictOfE(normalizedDifference),
    conventions: conventionsOf(cations, anions),
    withUnknowns: unknown && withUnknownCharge(cations, sumOf(analysed, "anion"), unknown),
    coverage: coverageOf(plainShares(parts), knownPH(input), options.coverageRules),
    parts,
    criteria,
    passed,
    suspects: passed
      ? []
      : suspectsIn(concentrations, diagnose(input, state, parts, difference, unknown, options), options),
    flags: [...input.flags, ...flagsOf(input, state, figures), ...(counted ? ["unknowns-counted"] : [])],
    ionicStrength: state.ionicStrength,
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function withPart(parts: readonly BalancePart[], charge: MeasuredValue): readonly BalancePart[] {
  const part: BalancePart = { ion: UNIDENTIFIED, side: "anion", milliequivalents: charge };
  return [...parts, part].sort((a, b) => b.milliequivalents.value - a.milliequivalents.value);
}

function plainShares(parts: readonly BalancePart[]) {
  return parts.map((part) => ({ ...part, milliequivalents: part.milliequivalents.value }));
}

function knownPH(input: WaterInput): number | undefined {
  return input.pHAssumed ? undefined : input.pH.value;
}

function sumOf(parts: readonly BalancePart[], side: "cation" | "anion"): MeasuredValue {
  const terms = parts
    .filter((part) => part.side === side)
    .map((part) => ({ value: part.milliequivalents, factor: 1 }));
  return combineLinear(terms, "meq/L");
}

/** Where a conductivity was measured, hypotheses weighed by charge and conductivity come first. */
function suspectsIn(
  concentrations: Concentrations,
  byRule: readonly Suspect[],
  options: BalanceOptions,
): readonly Suspect[] {
  const { conductivity, unknownAnions } = options;
  if (conductivity === undefined || !(conductivity > 0)) return byRule;
  const ofWater = Object.entries(options).filter(([name]) => Object.hasOwn(WATER_OPTIONS, name));
  const counted = unknownAnions === undefined ? {} : { unknownAnions: readUnknownCharge(unknownAnions).from };
  const diagnosis = diagnoseBalance(concentrations, {
    ...Object.fromEntries(ofWater),
    conductivity,
    ...counted,
  });
  return withDiagnosed(diagnosis, byRule);
}

function diagnose(
  input: WaterInput,
  state: WaterState,
  parts: readonly BalancePart[],
  difference: MeasuredValue,
  unknown: BoundedCharge | undefined,
  { conductivity, countUnknowns }: BalanceOptions,
): readonly Suspect[] {
  const total = parts.reduce((sum, { milliequivalents }) => sum + milliequivalents.value, 0);
  return suspectsOf({
    shares: plainShares(parts),
    difference: difference.value,
    tolerance: difference.u > 0 ? 2 * difference.u : (CLOSED_PERCENT / 100) * total,
    pH: knownPH(input),
    carbonateKnown: input.alkalinity !== undefined || parts.some(({ ion }) => ion === "hydrogencarbonate"),
    unknownAnions: countUnknowns === true ? undefined : unknown?.from.value,
    conductivityRatio:
      conductivity !== undefined && conductivity > 0
        ? conductivityOf(state.forms, "onsager", ION_PAIRS) / conductivity
        : undefined,
  });
}

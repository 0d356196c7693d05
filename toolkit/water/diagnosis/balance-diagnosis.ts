import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { chiSquaredQuantile } from "../../numeric/distributions.js";
import { changeText, diagnosisText } from "./diagnosis-text.js";
import type { DiagnosedChange, HypothesisFamily, WeighedHypothesis } from "./hypothesis.js";
import { logSum, type WeighedWater } from "./weigh-water.js";

/** Where a water, as reported or as a hypothesis has it, stands. */
export interface Standing {
  /** Cations − anions, meq/L, and its standard uncertainty. */
  readonly difference: number;
  readonly uDifference: number;
  /** 100·(C − A)/(C + A), and its standard uncertainty. */
  readonly percentDifference: number;
  readonly uPercent: number;
  /** Computed, µS/cm at 25 °C. */
  readonly conductivity: number;
  /** Computed over measured, 1 being perfect, and its standard uncertainty; undefined where it was not measured. */
  readonly conductivityRatio: number | undefined;
  readonly uRatio: number;
  /** Computed, mg/L. */
  readonly dissolvedSolids: number;
  /** (D/u)² + ((κ − κ_m)/u)², and the term of the solids where they were weighed. */
  readonly chiSquared: number;
}

/** One thing that would explain what is seen: a hint what to check, never a correction. */
export interface DiagnosedHypothesis extends Standing {
  readonly cause: string;
  readonly family: HypothesisFamily;
  readonly ion: string | undefined;
  /** The side whose sum would change; undefined where neither does. */
  readonly side: "cation" | "anion" | undefined;
  /** Of all explanations, having no fault included. */
  readonly probability: number;
  readonly change: DiagnosedChange;
  /** The change in words. */
  readonly changeWords: string;
  /** The next measurement that would decide. */
  readonly next: string;
}

export interface BalanceDiagnosis {
  readonly kind: "balance-diagnosis";
  readonly sample: string;
  /** Whether something is probably wrong: a water as reported is neither likely enough nor consistent. */
  readonly raised: boolean;
  /** The water as it was reported, with the probability that nothing is wrong. */
  readonly reported: Standing & { readonly probability: number };
  /** µS/cm and mg/L as measured; undefined where not. */
  readonly measured: {
    readonly conductivity: number | undefined;
    readonly dissolvedSolids: number | undefined;
  };
  /** Likeliest first; given whether or not something is raised. */
  readonly hypotheses: readonly DiagnosedHypothesis[];
  /** Probability of two faults at once or of one that is not in the list. */
  readonly unexplained: number;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** Below this a hypothesis further down is not told. */
const LEAST_PROBABILITY = 1e-4;
const MOST = 12;
/** The first are told however little they explain: "unexplained" says what to think of them. */
const ALWAYS = 3;
/** A water is called into question where it is less probable than this that nothing is wrong. */
const TOO_UNLIKELY = 0.8;
/** Up to this χ² of one, two and three terms a water is consistent. */
const CONSISTENT = [1, 2, 3].map((terms) => chiSquaredQuantile(0.95, terms));

/** Shares the probability out among all explanations of a water. */
export function balanceDiagnosis(
  water: WeighedWater,
  more: readonly WeighedHypothesis[] = [],
): BalanceDiagnosis {
  const weighed = [...water.hypotheses, ...more];
  const logs = weighed.map(({ baseRate, logMarginal }) => Math.log(baseRate) + logMarginal);
  const total = logSum([water.logClean, water.logUnexplained, ...logs]);
  const { evidence } = water.trial;
  const measured = {
    conductivity: evidence.conductivity?.value,
    dissolvedSolids: evidence.solids?.value,
  };
  const hypotheses = weighed
    .map((each, i) => ({ each, probability: Math.exp(logs[i] - total) }))
    .sort((a, b) => b.probability - a.probability)
    .filter(({ probability }, rank) => rank < ALWAYS || probability >= LEAST_PROBABILITY)
    .slice(0, MOST)
    .map(({ each, probability }) => diagnosed(each, probability));
  const terms = 1 + Number(evidence.conductivity !== undefined) + Number(evidence.solids !== undefined);
  const probability = Math.exp(water.logClean - total);
  const inconsistent = water.clean.chiSquared > CONSISTENT[terms - 1];
  const result: BalanceDiagnosis = {
    kind: "balance-diagnosis",
    sample: water.sample,
    raised: inconsistent && probability < TOO_UNLIKELY,
    reported: { ...standing(water.clean, measured.conductivity), probability },
    measured,
    hypotheses,
    unexplained: Math.exp(water.logUnexplained - total),
    toString: () => diagnosisText(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function diagnosed(each: WeighedHypothesis, probability: number): DiagnosedHypothesis {
  const { cause, family, ion, side, change, next } = each;
  return {
    ...{ cause, family, ion, side, probability, change, next },
    changeWords: changeText(change),
    ...standing(each.best, each.measured),
  };
}

function standing(outcome: WeighedHypothesis["best"], measured: number | undefined): Standing {
  const { difference, uDifference, size, conductivity, uConductivity, solids, chiSquared } = outcome;
  return {
    difference,
    uDifference,
    percentDifference: (50 * difference) / size,
    uPercent: (50 * uDifference) / size,
    conductivity,
    conductivityRatio: measured === undefined ? undefined : conductivity / measured,
    uRatio: uConductivity,
    dissolvedSolids: solids,
    chiSquared,
  };
}

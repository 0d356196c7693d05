import type { DISPLAY, DisplayBundle } from "../../display.js";
import type { DiagnosedChange, HypothesisFamily } from "./hypothesis.js";

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

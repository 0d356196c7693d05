import { fromSources, type MeasuredValue } from "../../uncertainty/measured.js";
import type { FoundPeak } from "../detection/find-peaks.js";
import type { IntegrationRule } from "./integration-rules.js";
import type { AreaSource, MeasuredPeak, Refusal } from "./placed-peak.js";

/** How an area was measured. */
export type PeakRule =
  | "joint fit"
  | "rider over decays"
  | "rider over measured profile"
  | "rider over cubic"
  | IntegrationRule;

/** The area another rule would have given; signal's unit times min. */
export interface AlternativeArea {
  readonly rule: IntegrationRule;
  readonly area: number;
  /** That area less the one reported. */
  readonly difference: number;
}

/** A peak with its area above the estimated baseline, and what was chosen on the way. */
export interface IntegratedPeak extends FoundPeak {
  /** In the signal's unit times min; its sources name noise, baseline choice, integration rule, shape and background. */
  readonly area: MeasuredValue;
  readonly rule: PeakRule;
  /** Why this rule: one sentence with the figures that decided. */
  readonly because: string;
  /** What the rules by name make of the same peak; a rule that does not exist for it (no valley) is left out. */
  readonly alternatives: readonly AlternativeArea[];
  /** False when the area could be wrong by more than the limit of refusal; then `refusal` says why. */
  readonly quantifiable: boolean;
  readonly refusal?: Refusal;
  /** Expected shape at its place, min. */
  readonly sigma: number;
  readonly tau: number;
  /** What is drawn as this peak: height above the baseline from index `first` of the record on. */
  readonly component: { readonly first: number; readonly values: Float64Array };
  /** Apexes, min, of shoulders whose area is counted here. */
  readonly shoulders: readonly number[];
}

const BACKGROUND_RULE = {
  decays: "rider over decays",
  "measured profile": "rider over measured profile",
  cubic: "rider over cubic",
} as const;

/** The public name of what the engine did. */
export function ruleName({ rule, background }: MeasuredPeak): PeakRule {
  if (rule === "rider fit") return BACKGROUND_RULE[background?.model ?? "decays"];
  return rule === "fixed window" ? "summation" : rule;
}

/** An area with named sources, all turned from signal × samples into the signal's unit times min. */
export function areaWithSources(
  area: number,
  noise: { readonly u: number; readonly dof: number },
  sources: readonly AreaSource[],
  about: { readonly interval: number; readonly unit: string; readonly name: string },
): MeasuredValue {
  const { interval, unit, name } = about;
  const causes = [...new Set(sources.map((each) => each.name))];
  const sized = causes.map((cause) => ({
    name: cause,
    u: Math.hypot(...sources.filter((each) => each.name === cause).map(({ u }) => u)),
  }));
  return fromSources(area * interval, unit, [
    { source: `noise: ${name}`, contribution: noise.u * interval, dof: noise.dof },
    ...sized
      .filter(({ u }) => u > 0)
      .map((each) => ({ source: `${each.name}: ${name}`, contribution: each.u * interval })),
  ]);
}

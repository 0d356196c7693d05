import type { DetailedIntegration } from "./integrate.js";
import { areaByRule, type IntegrationRule, type RuledArea, type RulePeak } from "./integration-rules.js";
import { curveOf, foreseenDropError, type PeakLimits } from "./rule-figures.js";

/** What the rules by name make of each peak. */
export interface RuleComparison {
  /** Undefined where a rule does not exist for a peak. */
  ruled(k: number, rule: IntegrationRule): RuledArea | undefined;
  /**
   * Standard uncertainty from the choice of rule, signal × samples.
   *
   * A peak parted from a neighbour at a valley and summed: what the peaks' own curves foresee as the error of that
   * parting, taken as the half-width of a rectangle. A fitted peak: the drop is known to be wrong there by a few percent
   * to a third, so its difference is no honest u; only the part of it that the fitted curves do not explain counts.
   */
  uncertainty(k: number): number;
}

export function compareRules(y: Float64Array, detail: DetailedIntegration): RuleComparison {
  const { smooth, prepared, around, measured } = detail;
  const limits: readonly PeakLimits[] = around.map(({ first, last, left, right }) => ({
    first,
    last,
    left: touching(around[left ?? -1]?.last, first) ? left : undefined,
    right: touching(last, around[right ?? -1]?.first) ? right : undefined,
  }));
  const peaks: readonly RulePeak[] = limits.map((limit, k) => ({ ...limit, apex: prepared[k].apex }));
  const curves = measured.map((each, k) => curveOf(prepared[k], each));
  const ruled = (k: number, rule: IntegrationRule) => areaByRule(y, smooth, peaks, k, rule);
  return {
    ruled,
    uncertainty(k) {
      const { rule, area } = measured[k];
      const drop = ruled(k, "perpendicular drop");
      if (drop === undefined || (rule !== "summation" && rule !== "joint fit")) return 0;
      const foreseen = foreseenDropError(curves, limits, k);
      const open = rule === "summation" ? foreseen : drop.area - area - foreseen;
      return Math.abs(open) / Math.sqrt(3);
    },
  };
}

/** Whether one peak ends where the next begins. */
function touching(end: number | undefined, start: number | undefined): boolean {
  return end !== undefined && start !== undefined && start - end <= 1;
}

import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { studentCdf, studentQuantile } from "../numeric/distributions.js";
import { isMeasuredValue, type MeasuredValue, roundedBy, wholeDof } from "../uncertainty/measured.js";

/** A limit of a regulation or specification: an upper one, a lower one, or both. */
export interface Limit {
  readonly upper?: number;
  readonly lower?: number;
  readonly unit: string;
}

/**
 * How a result near the limit is judged, to be chosen before the result is known:
 * - "simple": inside the limit is accepted, g = 0; the risk of a wrong decision at the limit is 50 %
 * - "guarded": accepted if conformity is probable by 1 − risk, g = t·u (1.645·u for 5 %)
 * - "expanded": accepted only if more than U = 2·u inside the limit, g = 2·u, risk about 2.3 %
 * - "rejection": rejected only if non-conformity is probable by 1 − risk; the guard band lies outside the limit
 */
export type DecisionRule = "simple" | "guarded" | "expanded" | "rejection";

export type Verdict = "conforms" | "not shown to conform" | "does not conform" | "non-conformity not shown";

export interface DecisionOptions {
  /** One-sided risk of the rules "guarded" and "rejection". @default 0.05 */
  readonly risk?: number;
  /** Standard uncertainty of a result at the limit, in the limit's unit. @default u of the result */
  readonly uAtLimit?: number;
}

export interface Decision {
  readonly kind: "decision";
  readonly value: MeasuredValue;
  readonly limit: Limit;
  readonly rule: DecisionRule;
  /** Probability that the true value conforms, 0 to 1. */
  readonly probability: number;
  /** Width g between limit and acceptance limit, in the limit's unit; negative where it lies outside the limit. */
  readonly guardBand: number;
  /** Results in here are accepted; an open side is infinite. */
  readonly acceptance: { readonly low: number; readonly high: number };
  readonly accepted: boolean;
  readonly verdict: Verdict;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/**
 * Whether a result conforms to a limit, under a stated rule:
 *
 *     p = F((U − y)/u) − F((L − y)/u)        A = U − g,  L + g
 *
 * y result and u its standard uncertainty, U and L upper and lower limit (a missing one is infinite), g guard band,
 * all in the limit's unit; F the distribution function of t at the effective degrees of freedom of u (normal where
 * they are infinite). Beyond L − g or U + g the result does not conform; between there and the acceptance limit
 * conformity is not shown. The guard band follows `uAtLimit`, because the uncertainty that matters is the one at the
 * limit.
 *
 * Caution: a statement of conformity is no verdict on safety. Local codes and accredited laboratories prevail;
 * some regulations fix simple acceptance or forbid the use of the uncertainty.
 *
 * @throws IonbookError "unit-mismatch" where limit and result differ in unit; "bad-limit" without any limit, or
 *   where the lower is not below the upper; "bad-rule" for an unknown rule; "bad-risk" unless 0 < risk < 0.5;
 *   "bad-uncertainty" for a negative uAtLimit
 * @source JCGM 106:2012, clauses 7 and 8
 */
export function decide(
  value: MeasuredValue,
  limit: Limit,
  rule: DecisionRule,
  options: DecisionOptions = {},
): Decision {
  requireDecidable(value, limit);
  const { low, high } = requireLimit(limit, value.unit);
  const g = guardBand(value, rule, options);
  const acceptance = { low: low + g, high: high - g };
  const accepted = value.value >= acceptance.low && value.value <= acceptance.high;
  const beyond = value.value < low - Math.abs(g) || value.value > high + Math.abs(g);
  return new LimitDecision({
    value,
    limit,
    rule,
    probability: conformity(value, low, high),
    guardBand: g,
    acceptance,
    accepted,
    verdict: verdictOf(rule, accepted, beyond),
  });
}

function requireDecidable(value: unknown, limit: unknown): void {
  const call = 'decide(result, { upper: 50, unit: "mg/L" }, "simple")';
  if (!isMeasuredValue(value)) {
    throw new IonbookError(
      "bad-input",
      `decide needs a result with its uncertainty, a measured value: ${call}`,
    );
  }
  if (typeof limit === "object" && limit !== null) return;
  throw new IonbookError("bad-limit", `decide needs the limit and its unit by name: ${call}`);
}

function verdictOf(rule: DecisionRule, accepted: boolean, beyond: boolean): Verdict {
  if (rule === "rejection") return accepted ? "non-conformity not shown" : "does not conform";
  if (accepted) return "conforms";
  return beyond ? "does not conform" : "not shown to conform";
}

function guardBand(value: MeasuredValue, rule: DecisionRule, options: DecisionOptions): number {
  const { risk = 0.05, uAtLimit = value.u } = options;
  if (!(risk > 0 && risk < 0.5)) {
    throw new IonbookError("bad-risk", `The risk is ${risk}; it must lie above 0 and below 0.5`);
  }
  if (!(uAtLimit >= 0 && Number.isFinite(uAtLimit))) {
    throw new IonbookError("bad-uncertainty", `uAtLimit is ${uAtLimit}; it must be 0 or more`);
  }
  const oneSided = () => studentQuantile(1 - risk, wholeDof(value.dof)) * uAtLimit;
  switch (rule) {
    case "simple":
      return 0;
    case "guarded":
      return oneSided();
    case "expanded":
      return 2 * uAtLimit;
    case "rejection":
      return -oneSided();
    default:
      throw new IonbookError(
        "bad-rule",
        `"${String(rule)}" is no decision rule; choose simple, guarded, expanded or rejection`,
      );
  }
}

function conformity(value: MeasuredValue, low: number, high: number): number {
  const { value: y, u } = value;
  if (u === 0) return y >= low && y <= high ? 1 : 0;
  const dof = wholeDof(value.dof);
  const below = (end: number): number =>
    Number.isFinite(end) ? studentCdf((end - y) / u, dof) : Number(end > 0);
  return below(high) - below(low);
}

function requireLimit(limit: Limit, unit: string): { low: number; high: number } {
  const { upper = Number.POSITIVE_INFINITY, lower = Number.NEGATIVE_INFINITY } = limit;
  if (limit.unit !== unit) {
    throw new IonbookError(
      "unit-mismatch",
      `The limit is in "${limit.unit}" and the result in "${unit}"; convert one of them first`,
    );
  }
  const open = upper === Number.POSITIVE_INFINITY && lower === Number.NEGATIVE_INFINITY;
  if (open || !(lower < upper)) {
    throw new IonbookError(
      "bad-limit",
      `Limits are ${lower} to ${upper} ${unit}; give an upper or a lower limit, the lower below the upper`,
    );
  }
  return { low: lower, high: upper };
}

type Figures = Omit<Decision, "kind" | "toString" | typeof DISPLAY>;

class LimitDecision implements Decision {
  readonly kind = "decision";
  readonly value: MeasuredValue;
  readonly limit: Limit;
  readonly rule: DecisionRule;
  readonly probability: number;
  readonly guardBand: number;
  readonly acceptance: { readonly low: number; readonly high: number };
  readonly accepted: boolean;
  readonly verdict: Verdict;

  constructor(figures: Figures) {
    this.value = figures.value;
    this.limit = figures.limit;
    this.rule = figures.rule;
    this.probability = figures.probability;
    this.guardBand = figures.guardBand;
    this.acceptance = figures.acceptance;
    this.accepted = figures.accepted;
    this.verdict = figures.verdict;
  }

  toString(): string {
    const { low, high } = this.acceptance;
    const { u, unit } = this.value;
    const ends = [
      Number.isFinite(low) ? `from ${roundedBy(u, low)}` : "",
      Number.isFinite(high) ? `up to ${roundedBy(u, high)}` : "",
    ].filter((end) => end !== "");
    const percent = (100 * this.probability).toPrecision(3);
    return `${this.value}: ${this.verdict} (probability of conformity ${percent} %; rule "${this.rule}" accepts ${ends.join(" ")} ${unit})`;
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}

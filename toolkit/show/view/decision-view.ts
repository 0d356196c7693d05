import type { Decision, DecisionRule } from "../../compare/decision.js";
import type { DisplayBundle } from "../../display.js";
import { intervalRowsChart } from "../chart/interval-rows.js";
import { INK } from "../chart/spec.js";
import { html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity, significant, trimmed } from "../text/numbers.js";
import { chartAmongWords } from "./chart-bundle.js";

const RULES: Readonly<Record<DecisionRule, string>> = {
  simple: "inside the limit is accepted; at the limit itself the decision is wrong in half of the cases",
  guarded: "accepted only where conformity is probable by the agreed risk",
  expanded: "accepted only more than 2 u inside the limit",
  rejection: "rejected only where non-conformity is probable by the agreed risk",
};

/** A result with its interval beside the limit and the stretch in which it would be accepted. */
export function decisionView(decision: Decision): Promise<DisplayBundle> {
  const { value, limit, rule, acceptance, guardBand, verdict, probability } = decision;
  const { low, high } = value.interval();
  const row = { name: "result", value: value.value, low, high, color: INK.ink, open: !decision.accepted };
  const lines = [
    ...(limit.lower === undefined ? [] : [{ at: limit.lower, name: "lower limit" }]),
    ...(limit.upper === undefined ? [] : [{ at: limit.upper, name: "upper limit" }]),
  ];
  const title =
    limit.unit === "1" ? "result" : `result / ${limit.unit.includes("/") ? `(${limit.unit})` : limit.unit}`;
  const chart = intervalRowsChart([row], { title, lines, shaded: acceptance });
  const guard =
    guardBand === 0
      ? "No guard band."
      : `Guard band ${quantity(significant(Math.abs(guardBand), 2), limit.unit)}, ${guardBand > 0 ? "inside" : "outside"} the limit.`;
  return chartAmongWords(
    String(decision),
    chart,
    (drawn) => html`<p><strong>${measuredText(value)}: ${verdict}.</strong></p>
<p>${limitWords(limit)} The true value conforms with a probability of ${percent(probability)}. Rule “${rule}”: ${RULES[rule]}. ${guard}</p>
<div class="scroll">${drawn}</div>
<p class="note">Shaded: results that are accepted; bar: 95 %. A statement of conformity is no verdict on safety; local rules prevail.</p>`,
  );
}

function limitWords({ lower, upper, unit }: Decision["limit"]): string {
  const [low, high] = [lower, upper].map((at) => at !== undefined && trimmed(at, 6));
  if (low && high) return `Allowed: ${low} to ${quantity(high, unit)}.`;
  return high
    ? `Allowed: at most ${quantity(high, unit)}.`
    : `Allowed: at least ${quantity(low || "", unit)}.`;
}

/** A probability never reads as certain. */
function percent(probability: number): string {
  if (probability > 0.999) return `more than ${quantity("99.9", "%")}`;
  if (probability < 0.001) return `less than ${quantity("0.1", "%")}`;
  return quantity(
    probability > 0.99 || probability < 0.01 ? fixed(100 * probability, 1) : trimmed(100 * probability, 2),
    "%",
  );
}

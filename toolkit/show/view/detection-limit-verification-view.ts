import type { DisplayBundle } from "../../display.js";
import type { DetectionLimitVerification } from "../../limits/verify-detection-limit.js";
import { html } from "../text/markup.js";
import { limitText, quantity } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { testTable } from "./curve-view.js";
import { htmlBlock } from "./html-block.js";

/** Whether the limit may stay, each line of the rule with its figures, and what is still to be measured. */
export function detectionLimitVerificationView(verification: DetectionLimitVerification): DisplayBundle {
  const { ion, unit, mdl, kept, criteria, due } = verification;
  const outcome =
    criteria.length === 0
      ? "nothing could be judged"
      : kept
        ? "may stay in force"
        : "▲ must not simply stay in force";
  const of = ion === undefined ? "" : ` of ${ion}`;
  const body = html`<p><strong>Method detection limit${of} ${quantity(limitText(mdl), unit)}: ${outcome}</strong></p>
${testTable(criteria)}
${due.length > 0 && html`<ul>${due.map((each) => html`<li>${typesetSentence(each)}</li>`)}</ul>`}`;
  return { "text/plain": String(verification), "text/html": htmlBlock(body) };
}

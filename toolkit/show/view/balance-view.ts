import type { SampleBalance } from "../../batch/types.js";
import type { DisplayBundle } from "../../display.js";
import type { ChargeBalance } from "../../water/balance/charge-balance.js";
import { balanceChart } from "../chart/balance-chart.js";
import { type Content, html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { quantity, significant } from "../text/numbers.js";
import { chartAmongWords } from "./chart-bundle.js";

/** Paired bars of one sample's charge, with criteria and suspects in the text. */
export function sampleBalanceView(balance: SampleBalance): Promise<DisplayBundle> {
  return withWords(balanceText(balance, balance.suspects), balance);
}

/** Beside the bars: the difference with its uncertainty, what each published criterion says of it, and suspects. */
function withWords(text: string, balance: SampleBalance): Promise<DisplayBundle> {
  const { sample, percentDifference, unknownAnions, passed, criteria, suspects } = balance;
  const { value, u } = percentDifference;
  const ratio = u > 0 ? quantity(significant(Math.abs(value) / u, 2), "times its standard uncertainty") : "";
  const rows = criteria.map(
    (each) =>
      html`<tr><th scope="row" class="text">${each.source}</th><td class="text">${each.limit}</td><td>${each.passed ? "met" : "missed"}</td></tr>\n`,
  );
  const body = (
    chart: Content,
  ) => html`<p><strong>${sample === "" ? "The charge" : `The charge of ${sample}`} ${passed ? "balances" : "does not balance"}.</strong> Difference ${measuredText(percentDifference)}${ratio !== "" && `, ${ratio}`}; positive where cations prevail.</p>
${unknownAnions && html`<p>Unidentified anions carry ${measuredText(unknownAnions)} besides.</p>`}
<div class="scroll">${chart}</div>
${rows.length > 0 && html`<div class="scroll"><table><thead><tr><th>criterion</th><th>limit</th><th>this sample</th></tr></thead><tbody>${rows}</tbody></table></div>`}
${suspects.length > 0 && html`<p>Suspects, the likeliest first:</p><ol>${suspects.map((suspect) => html`<li>${suspect}</li>`)}</ol>`}`;
  return chartAmongWords(text, balanceChart([balance]), body);
}

/** The same for a balance of concentrations without a batch. */
export function chargeBalanceView(balance: ChargeBalance): Promise<DisplayBundle> {
  const parts = balance.parts.map((part) => ({ ...part, bound: false }));
  const suspects = balance.suspects.map((suspect) => `${suspect.cause}: ${suspect.why}`);
  const { cations, anions, percentDifference, passed, criteria } = balance;
  const drawn: SampleBalance = {
    kind: "sample-balance",
    sample: "",
    cations,
    anions,
    percentDifference,
    unknownAnions: undefined,
    passed,
    suspects,
    parts,
    criteria,
  };
  return withWords(String(balance), drawn);
}

function balanceText(balance: SampleBalance, suspects: readonly string[]): string {
  const lines = [
    `${balance.sample}: cations ${measuredText(balance.cations)}, anions ${measuredText(balance.anions)}`,
    `difference ${measuredText(balance.percentDifference)}, ${balance.passed ? "passes" : "fails"}`,
    ...balance.criteria.map((each) => `${each.passed ? "meets" : "misses"} ${each.limit} (${each.source})`),
    ...suspects.map((suspect, index) => `suspect ${index + 1}: ${suspect}`),
  ];
  if (balance.unknownAnions) lines.splice(1, 0, `unidentified anions ${measuredText(balance.unknownAnions)}`);
  return lines.join("\n");
}

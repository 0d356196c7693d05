import type { SampleBalance } from "../../batch/types.js";
import type { DisplayBundle } from "../../display.js";
import type { ChargeBalance } from "../../water/balance/charge-balance.js";
import type { BalanceConvention, ConventionLetter } from "../../water/balance/conventions.js";
import { balanceChart } from "../chart/balance-chart.js";
import { type Content, html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { quantity, significant } from "../text/numbers.js";
import { typeset } from "../text/typeset.js";
import { balanceFlagWords } from "./balance-flag-words.js";
import { chartAmongWords } from "./chart-bundle.js";
import { unknownWords } from "./unknown-charge-words.js";

/** Paired bars of one sample's charge, with criteria and suspects in the text. */
export function sampleBalanceView(balance: SampleBalance): Promise<DisplayBundle> {
  return withWords(balanceText(balance, balance.suspects), balance);
}

/** Beside the bars: the difference with its uncertainty, what each published criterion says of it, and suspects. */
function withWords(text: string, balance: SampleBalance): Promise<DisplayBundle> {
  const { sample, percentDifference, passed, suspects } = balance;
  const { value, u } = percentDifference;
  const ratio = u > 0 ? quantity(significant(Math.abs(value) / u, 2), "times its standard uncertainty") : "";
  const unknown = unknownWords(balance);
  const body = (
    chart: Content,
  ) => html`<p><strong>${sample === "" ? "The charge" : `The charge of ${sample}`} ${passed ? "balances" : "does not balance"}.</strong> Difference ${measuredText(percentDifference)} of both sums${ratio !== "" && `, ${ratio}`}; positive where cations prevail.</p>
${unknown !== "" && html`<p>${unknown}</p>`}
<div class="scroll">${chart}</div>
${criteriaTable(balance)}
${suspects.length > 0 && html`<p>Suspects, the likeliest first:</p><ol>${suspects.map((suspect) => html`<li>${suspect}</li>`)}</ol>`}
${(balance.flags ?? []).map((flag) => html`<p class="note">${balanceFlagWords(flag)}</p>`)}
${further(balance)}`;
  return chartAmongWords(text, balanceChart([balance]), body);
}

/** The same for a balance of concentrations without a batch. */
export function chargeBalanceView(balance: ChargeBalance): Promise<DisplayBundle> {
  const { cations, anions, percentDifference, passed, criteria, conventions, coverage, flags } = balance;
  const drawn: SampleBalance = {
    kind: "sample-balance",
    sample: "",
    cations,
    anions,
    percentDifference,
    // Counted among the anions they have a piece of their own already.
    unknownAnions: flags?.includes("unknowns-counted") ? undefined : balance.withUnknowns?.unknown.from,
    withUnknowns: balance.withUnknowns,
    passed,
    suspects: balance.suspects.map((suspect) => `${suspect.cause}: ${suspect.why}`),
    parts: balance.parts.map((part) => ({ ...part, bound: false })),
    criteria,
    conventions,
    coverage,
    flags,
  };
  return withWords(String(balance), drawn);
}

/** Every criterion with the figure it judges: percent of both sums and of half of them are told apart by letter. */
function criteriaTable({ criteria }: SampleBalance): Content {
  if (criteria.length === 0) return "";
  const lettered = criteria.some(({ convention }) => convention !== undefined);
  const rows = criteria.map(
    (each) =>
      html`<tr><th scope="row" class="text">${each.source}</th>${lettered && html`<td class="num">${each.found === undefined ? "" : plusMinus(each.found)}</td><td>${each.convention === undefined ? "" : `(${each.convention})`}</td>`}<td class="text">${typeset(each.limit)}</td><td>${each.passed ? "met" : "missed"}</td>${lettered && html`<td>${each.verdict === "warn" ? "▲ warning" : ""}</td>`}</tr>\n`,
  );
  return html`<div class="scroll"><table><thead><tr><th>criterion</th>${lettered && html`<th class="num">found</th><th>figure</th>`}<th>limit</th><th>outcome</th>${lettered && html`<th></th>`}</tr></thead><tbody>${rows}</tbody></table></div>
${lettered && html`<p class="note">${figureWords(criteria.flatMap(({ convention }) => convention ?? []))}</p>`}`;
}

function plusMinus(found: number): string {
  return found > 0 ? `+${significant(found, 3)}` : significant(found, 3);
}

const FIGURES: Readonly<Record<ConventionLetter, string>> = {
  a: "(a) difference in percent of both sums",
  b: "(b) in percent of half of both sums, twice (a)",
  c: "(c) ratio of cations to anions",
  d: "(d) difference in meq/L",
  e: "(e) difference in its standard uncertainties, warning from 2 to 3",
};

function figureWords(letters: readonly ConventionLetter[]): string {
  const used = [...new Set(letters)].sort();
  return `${used.map((letter) => FIGURES[letter]).join("; ")}.`;
}

/** Folded away: the other conventions and what the balance contains. */
function further({ conventions = [], coverage = [] }: SampleBalance): Content {
  if (conventions.length === 0 && coverage.length === 0) return "";
  const figure = ({ value }: BalanceConvention): string => {
    if (value === undefined) return "";
    return value.u > 0 ? measuredText(value) : quantity(significant(value.value, 3), value.unit);
  };
  return html`<details><summary>the same difference in all conventions, and what a balance should contain</summary>
${conventions.length > 0 && html`<div class="scroll"><table><thead><tr><th>convention</th><th>formula</th><th>this sample</th></tr></thead><tbody>${conventions.map((each) => html`<tr><th scope="row" class="text">(${each.letter}) ${each.name}</th><td class="text">${each.formula}</td><td>${figure(each)}</td></tr>\n`)}</tbody></table></div><p class="note">C cations and A anions in meq/L, u standard uncertainty.</p>`}
${coverage.map(({ source, words }) => html`<p>${typeset(words)} <small>${source}</small></p>`)}</details>`;
}

function balanceText(balance: SampleBalance, suspects: readonly string[]): string {
  const unknown = unknownWords(balance);
  return [
    `${balance.sample}: cations ${measuredText(balance.cations)}, anions ${measuredText(balance.anions)}`,
    ...(unknown === "" ? [] : [unknown]),
    `difference ${measuredText(balance.percentDifference)}, ${balance.passed ? "passes" : "fails"}`,
    ...balance.criteria.map((each) => `${each.passed ? "meets" : "misses"} ${each.limit} (${each.source})`),
    ...suspects.map((suspect, index) => `suspect ${index + 1}: ${suspect}`),
  ].join("\n");
}

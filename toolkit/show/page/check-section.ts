import type { CheckResult, Results } from "../../batch/types.js";
import { type Content, html } from "../text/markup.js";
import { distinct, sentenceCase } from "../text/words.js";
import { checkAnchor, traceAnchor } from "./anchors.js";
import { plainNumber } from "./failed-checks.js";
import type { PageSection } from "./page-shell.js";

/** Every check that was made, grouped by its kind. */
export function checkSection(results: Results): PageSection | undefined {
  if (results.checks.length === 0) return undefined;
  const numbered = results.checks.map((check, index) => ({ check, index }));
  const groups = distinct(results.checks.map((check) => check.check)).map((kind) => {
    const own = numbered.filter(({ check }) => check.check === kind);
    const failed = own.filter(({ check }) => !check.passed).length;
    const outcome = failed === 0 ? `all ${own.length} passed` : `${failed} of ${own.length} failed`;
    return html`<details class="wide"><summary>${sentenceCase(kind)}: ${outcome}</summary>
<div class="scroll" tabindex="0" role="region" aria-label="${kind}"><table>
<thead><tr><th>ion</th><th>injection</th><th class="num">found</th><th class="num">expected</th><th>limit</th><th>outcome</th><th>touches</th><th>source of the limit</th></tr></thead>
<tbody>${own.map(({ check, index }) => row(check, index, results.traces.has(check.injection)))}</tbody></table></div></details>
`;
  });
  return { id: "checks", heading: "All checks", body: groups };
}

function row(check: CheckResult, index: number, traced: boolean): Content {
  const injection = traced
    ? html`<a href="#${traceAnchor(check.injection)}">${check.injection}</a>`
    : check.injection;
  const expected = check.expected === undefined ? "" : plainNumber(check.expected);
  return html`<tr id="${checkAnchor(index)}"><th scope="row">${check.ion}</th><td>${injection}</td><td class="num">${plainNumber(check.found)}</td><td class="num">${expected}</td><td>${check.limit}</td><td>${check.passed ? "passed" : html`<strong>failed</strong>`}</td><td class="text">${check.touches.join(", ")}</td><td class="text"><small>${check.source}</small></td></tr>\n`;
}

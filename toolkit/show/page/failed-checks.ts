import type { CheckResult, Results } from "../../batch/types.js";
import { type Content, html, joined } from "../text/markup.js";
import { trimmed } from "../text/numbers.js";
import { distinct, listed, sentenceCase } from "../text/words.js";
import { checkAnchor, traceAnchor } from "./anchors.js";
import { nextSteps } from "./next-steps.js";
import type { PageSection } from "./page-shell.js";

/** Failed checks, one sentence each, with what they touch; undefined when all passed. */
export function failedChecks(results: Results): PageSection | undefined {
  const failed = results.checks
    .map((check, index) => ({ check, index }))
    .filter(({ check }) => !check.passed);
  const steps = nextSteps(results);
  if (failed.length === 0 && steps.length === 0) return undefined;
  const groups = distinct(failed.map(({ check }) => `${check.check}\n${check.injection}`)).map((key) =>
    failed.filter(({ check }) => `${check.check}\n${check.injection}` === key),
  );
  const items = groups.map(
    (group) => html`<li>${sentence(group, results.traces.has(group[0].check.injection))}</li>\n`,
  );
  const heading = failed.length === 0 ? "What to do next" : "What failed, and what it touches";
  return {
    id: "failed",
    heading,
    short: failed.length === 0 ? "What to do next" : "What failed",
    body: html`${items.length > 0 && html`<ul>${items}</ul>`}${
      steps.length > 0 &&
      html`${failed.length > 0 && html`<h3>What to do next</h3>`}<ul>${steps.map((step) => html`<li>${step}</li>\n`)}</ul>`
    }`,
  };
}

function sentence(
  group: readonly { readonly check: CheckResult; readonly index: number }[],
  traced: boolean,
): Content {
  const [{ check: first }] = group;
  const where =
    first.injection === ""
      ? undefined
      : traced
        ? html` <a href="#${traceAnchor(first.injection)}">${first.injection}</a>`
        : html` ${first.injection}`;
  const found = group.map(({ check, index }) => html`<a href="#${checkAnchor(index)}">${outcome(check)}</a>`);
  const touched = distinct(group.flatMap(({ check }) => check.touches));
  const reach =
    touched.length > 0 ? ` It touches ${listed(touched, 12)}.` : " No sample result depends on it.";
  return html`${sentenceCase(first.check)}${where}: ${joined(found, "; ")}.${reach}`;
}

/** "nitrate found 82.4 where 100 was expected, limit 90–110 %". */
function outcome(check: CheckResult): string {
  const expected = check.expected === undefined ? "" : ` where ${plainNumber(check.expected)} was expected`;
  return `${check.ion} found ${plainNumber(check.found)}${expected}, limit ${check.limit}`.trim();
}

/** A number of unknown kind, shortened to what a reader needs. */
export function plainNumber(value: number): string {
  return trimmed(value, Math.abs(value) >= 100 ? 4 : 3);
}

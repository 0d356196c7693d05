import type { Results } from "../../batch/types.js";
import type { DisplayBundle } from "../../display.js";
import { failedChecks } from "../page/failed-checks.js";
import { opening } from "../page/opening.js";
import { unknownTable } from "../page/unknown-section.js";
import { html } from "../text/markup.js";
import { htmlBlock } from "./html-block.js";

/** What was found as a table: failed checks and what to do about them on top, mere advice below it. */
export function resultsView(results: Results): DisplayBundle {
  const failed = failedChecks(results);
  const block = failed && html`<h3>${failed.heading}</h3>${failed.body}`;
  const first = results.checks.some((check) => !check.passed);
  const body = html`${first && block}${opening(results)}${results.unknowns.length > 0 && html`<details><summary>peaks without a name</summary>${unknownTable(results.unknowns)}</details>`}${!first && block}`;
  // Links lead into the report page; inside a notebook they would lead nowhere.
  return { "text/plain": String(results), "text/html": htmlBlock(body).replace(/ href="#[^"]*"/g, "") };
}

import type { Results } from "../../batch/types.js";
import type { DisplayBundle } from "../../display.js";
import { failedChecks } from "../page/failed-checks.js";
import { opening } from "../page/opening.js";
import { html } from "../text/markup.js";
import { htmlBlock } from "./html-block.js";

/** What was found as a table, with the failed checks on top and what to do next. */
export function resultsView(results: Results): DisplayBundle {
  const failed = failedChecks(results);
  const body = html`${failed && html`<h3>${failed.heading}</h3>${failed.body}`}${opening(results)}`;
  // Links lead into the report page; inside a notebook they would lead nowhere.
  return { "text/plain": String(results), "text/html": htmlBlock(body).replace(/ href="#[^"]*"/g, "") };
}

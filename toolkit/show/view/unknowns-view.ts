import type { UnknownPeaks } from "../../batch/types.js";
import type { DisplayBundle } from "../../display.js";
import { unknownTable } from "../page/unknown-section.js";
import { html } from "../text/markup.js";
import { htmlBlock } from "./html-block.js";

/** Every peak without a name: where it stands, in which samples, how much charge it carries. */
export function unknownsView(unknowns: UnknownPeaks): DisplayBundle {
  const body = unknowns.length === 0 ? html`<p>Every peak has a name.</p>` : unknownTable(unknowns);
  // Links lead into the report page; inside a notebook they would lead nowhere.
  return { "text/plain": String(unknowns), "text/html": htmlBlock(body).replace(/ href="#[^"]*"/g, "") };
}

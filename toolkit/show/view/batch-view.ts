import type { Batch, Injection } from "../../batch/types.js";
import type { DisplayBundle } from "../../display.js";
import { type Content, html, Markup } from "../text/markup.js";
import { trimmed } from "../text/numbers.js";
import { counted } from "../text/words.js";
import { thumbnail } from "../trace/thumbnail.js";
import { htmlBlock } from "./html-block.js";

/** A worksheet of more rows is folded under one line. */
const OPEN_ROWS = 20;

/** The worksheet with a small picture of every record, and what was noticed on reading. */
export function batchView(batch: Batch): DisplayBundle {
  const { method } = batch;
  const noticed = batch.noticed.map((notice) => html`<li>${notice.where}: ${notice.what}</li>`);
  const body = html`<h3>${method.title}</h3>
<p class="note">${batch.folder} · ${method.channel}s · ${counted(batch.injections.length, "injection")} · ${counted(method.ions.length, "ion")} in the method</p>
${noticed.length > 0 && html`<p>Noticed on reading:</p><ul>${noticed}</ul>`}
<details${new Markup(batch.injections.length <= OPEN_ROWS ? " open" : "")}><summary>worksheet with a picture of every record</summary><div class="scroll wide"><table>
<thead><tr><th>injection</th><th>record</th><th>kind</th><th>solution</th><th class="num">dilution</th><th>injected at</th><th>remark</th></tr></thead>
<tbody>${batch.injections.map((injection) => row(batch, injection))}</tbody></table></div></details>`;
  return { "text/plain": String(batch), "text/html": htmlBlock(body) };
}

function row(batch: Batch, injection: Injection): Content {
  const record = batch.chromatograms.get(injection.id);
  const picture = record && new Markup(thumbnail(record.time, record.signal, batch.method.from));
  const dilution = injection.dilution === 1 ? "" : trimmed(injection.dilution, 4);
  return html`<tr><th scope="row">${injection.id}</th><td>${picture}</td><td>${injection.kind}</td><td>${injection.solution}</td><td class="num">${dilution}</td><td>${injection.injectedAt}</td><td class="text">${injection.remark}</td></tr>\n`;
}

import type { Batch, Results } from "../../batch/types.js";
import { type Content, html, joined } from "../text/markup.js";
import { trimmed } from "../text/numbers.js";
import { counted } from "../text/words.js";
import { packageVersion } from "./package-version.js";
import type { PageSection } from "./page-shell.js";

/** Where everything came from: files with their fingerprints, methods as they were applied, versions. */
export function provenanceSection(results: Results): PageSection {
  return {
    id: "provenance",
    heading: "Where the numbers come from",
    short: "Provenance",
    body: html`<p>Made by ionbook ${packageVersion()} on Node.js ${process.versions.node}. With the files below and this version every number on the page can be made again.</p>
${results.batches.map(batchPart)}`,
  };
}

function batchPart(batch: Batch): Content {
  const { method } = batch;
  const facts: Content[] = [
    html`detection by ${method.detection}`,
    html`hold-up time ${trimmed(method.holdUpTime, 3)} min`,
    html`evaluated from ${trimmed(method.from, 3)} min to ${method.to === undefined ? "the end of each record" : `${trimmed(method.to, 3)} min`}`,
  ];
  if (method.eluent) facts.push(html`eluent ${method.eluent.kind}, ${programText(method.eluent.program)}`);
  for (const [key, value] of Object.entries(method.other))
    facts.push(html`${key}: ${plainText(value).replace(/\.$/, "")}`);
  const noticed = batch.noticed.map((notice) => html`<li>${notice.where}: ${notice.what}</li>`);
  return html`<h3>${method.channel === "anion" ? "Anions" : "Cations"}: ${batch.folder}</h3>
<p class="note">${joined(facts, "; ")}.</p>
${noticed.length > 0 && html`<p class="note">Noticed on reading:</p><ul class="note">${noticed}</ul>`}
<details><summary>Method: ${counted(method.ions.length, "ion")}</summary>${methodTable(batch)}</details>
<details><summary>${counted(batch.files.length, "file")} read, with SHA-256</summary>${fileTable(batch)}</details>
`;
}

function methodTable(batch: Batch): Content {
  const rows = batch.method.ions.map(
    (each) =>
      html`<tr><th scope="row">${each.ion}</th><td class="num">${trimmed(each.retentionTime, 4)}</td><td class="num">± ${trimmed(each.window, 2)}</td><td>${each.model}</td><td>${each.weighting}</td></tr>\n`,
  );
  return html`<div class="scroll"><table><thead><tr><th>ion</th><th class="num">expected / min</th><th class="num">window / min</th><th>model</th><th>weighting</th></tr></thead><tbody>${rows}</tbody></table></div>`;
}

function fileTable(batch: Batch): Content {
  const rows = batch.files.map(
    (file) => html`<tr><th scope="row">${file.path}</th><td><code>${file.sha256}</code></td></tr>\n`,
  );
  return html`<div class="scroll"><table><tbody>${rows}</tbody></table></div>`;
}

function programText(program: readonly (readonly [number, number])[]): string {
  const steps = program.map(
    ([time, concentration]) => `${trimmed(concentration, 3)} at ${trimmed(time, 3)} min`,
  );
  return `mmol/L: ${steps.join(", ")}`;
}

function plainText(value: unknown): string {
  return typeof value === "string" ? value : JSON.stringify(value);
}

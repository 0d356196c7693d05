import type { BlankPeak, SpikeConfirmation, UnknownRegister } from "../../batch/types.js";
import type { DisplayBundle } from "../../display.js";
import type { ChargeFromStrengths } from "../../separation/charge-from-strengths.js";
import { unknownSummary } from "../page/unknown-summary.js";
import { peakName } from "../text/ion-names.js";
import { type Content, html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed } from "../text/numbers.js";
import { typeset, typesetSentence } from "../text/typeset.js";
import { columnTable } from "./column-table.js";
import { htmlBlock } from "./html-block.js";

/** The unidentified peaks of several batches under one set of names. */
export function unknownRegisterView(register: UnknownRegister): DisplayBundle {
  const { unknowns, ofBlanks, namings } = register;
  const body = html`${unknowns.length === 0 ? html`<p>Every peak has a name.</p>` : unknownSummary(unknowns)}
${unknowns.some(({ batches }) => batches.length > 1) && ownNames(register)}
${ofBlanks.length > 0 && blankTable(ofBlanks)}
${namings.length > 0 && html`<h3>Names given</h3><ul>${namings.map(({ unknown, ion, on, evidence }) => html`<li>${on}: ${peakName(unknown)} is ${ion}. ${typesetSentence(evidence.map(evidenceWords).join("; "))}</li>\n`)}</ul>`}`;
  return { "text/plain": String(register), "text/html": htmlBlock(body) };
}

function evidenceWords(evidence: UnknownRegister["namings"][number]["evidence"][number]): string {
  return evidence.kind === "other method" ? evidence.what : String(evidence);
}

function ownNames({ unknowns }: UnknownRegister): Content {
  const sights = unknowns.flatMap((unknown) => unknown.batches.map((batch) => ({ unknown, batch })));
  return columnTable([
    { title: "peak", cells: { words: sights.map(({ unknown }) => peakName(unknown.name)) } },
    { title: "batch", cells: { words: sights.map(({ batch }) => batch.batch) } },
    { title: "called there", cells: { words: sights.map(({ batch }) => peakName(batch.name)) } },
    {
      title: "retention there",
      unit: "min",
      cells: { numbers: sights.map(({ batch }) => fixed(batch.retentionTime, 2)) },
    },
  ]);
}

function blankTable(peaks: readonly BlankPeak[]): Content {
  return html`<h3>The blanks’ own</h3>${columnTable([
    { title: "peak", cells: { words: peaks.map(({ name, channel }) => `${peakName(name)}, ${channel}s`) } },
    {
      title: "retention",
      unit: "min",
      cells: { numbers: peaks.map(({ retentionTime }) => fixed(retentionTime, 2)) },
    },
    { title: "blanks", cells: { words: peaks.map(({ seen, of }) => `${seen} of ${of}`) } },
    { title: "batch", cells: { words: peaks.map(({ batch }) => batch) } },
  ])}`;
}

/** Four tests of a spike beside their limits. */
export function spikeConfirmationView(spike: SpikeConfirmation): DisplayBundle {
  const { ion, tests, passed } = spike;
  const body = html`<p><strong>The spike of ${ion} ${passed ? "confirms the peak" : "does not confirm the peak"}.</strong></p>
${columnTable([
  { title: "test", cells: { words: tests.map(({ test }) => test) } },
  { title: "found", cells: { words: tests.map(({ found }) => typeset(found)) } },
  { title: "limit", cells: { words: tests.map(({ limit }) => typeset(limit)) } },
  { title: "outcome", cells: { words: tests.map((each) => (each.passed ? "passed" : "failed")) } },
])}`;
  return { "text/plain": String(spike), "text/html": htmlBlock(body) };
}

/** The charge of an ion from two eluent strengths. */
export function chargeFromStrengthsView(found: ChargeFromStrengths): DisplayBundle {
  const body = html`<p><strong>${peakName(found.name ?? "charge")}: ${measuredText(found.measured)}</strong>, ${typeset(found.verdict)}.</p>
<p class="note">From the slope of ln k against ln c between two constant strengths of the eluent. A charge is evidence, not a name. Uncertainty: 95 %.</p>`;
  return { "text/plain": String(found), "text/html": htmlBlock(body) };
}

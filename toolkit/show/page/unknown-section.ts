import type { Results, UnknownPeak } from "../../batch/types.js";
import { peakName } from "../text/ion-names.js";
import { type Content, html } from "../text/markup.js";
import { fixed } from "../text/numbers.js";
import { traceAnchor } from "./anchors.js";
import type { PageSection } from "./page-shell.js";
import { measuredColumn } from "./result-cell.js";
import { unknownSummary } from "./unknown-summary.js";

interface Sight {
  readonly unknown: UnknownPeak;
  readonly sight: UnknownPeak["seenIn"][number];
  readonly first: boolean;
}

/** Every peak without a name: where it stands, in which samples, how much charge it carries, what it may be. */
export function unknownSection(results: Results): PageSection | undefined {
  if (results.unknowns.length === 0) return undefined;
  return { id: "unknowns", heading: "Peaks without a name", body: unknownTable(results.unknowns) };
}

/** The same as tables with the words that belong to them: one row a peak, then one row a sight. */
export function unknownTable(unknowns: readonly UnknownPeak[]): Content {
  const told = unknowns.flatMap(({ about, ...peak }) => (about === undefined ? [] : [{ ...peak, ...about }]));
  return html`<p class="note">Kept and followed over the batch by retention time. The charge is estimated from the conductivity alone, in the injected solution: at least (≥) so much, since a weak acid shows only what is dissociated. It can close a balance but names nothing.</p>
${told.length > 0 && unknownSummary(told)}
${sightTable(unknowns)}`;
}

function sightTable(unknowns: readonly UnknownPeak[]): Content {
  const sights = unknowns.flatMap((unknown) =>
    unknown.seenIn.map((sight, index): Sight => ({ unknown, sight, first: index === 0 })),
  );
  const columns = [
    measuredColumn(sights.map(({ sight }) => sight.area)),
    measuredColumn(sights.map(({ sight }) => sight.microequivalents)),
  ];
  const bodies = unknowns.map((unknown) => {
    const own = sights.filter((each) => each.unknown === unknown);
    return html`<tbody>${rows(own, sights.indexOf(own[0]), columns)}</tbody>\n`;
  });
  return html`<div class="scroll wide" tabindex="0" role="region" aria-label="Unidentified peaks"><table>
<thead><tr><th>peak</th><th class="num">retention / min</th><th>seen in</th><th>injection</th><th class="num">area / (µS/cm·min)</th><th class="num">charge as injected ≥ / (µeq/L)</th></tr></thead>
${bodies}</table></div>`;
}

function rows(
  sights: readonly Sight[],
  from: number,
  columns: readonly (readonly Content[])[],
): readonly Content[] {
  return sights.map(({ unknown, sight, first }, index) => {
    const name = first && html`${peakName(unknown.name)} <small>${unknown.channel}s</small>`;
    const time = first && fixed(unknown.retentionTime, 2);
    const cells = columns.map((column) => column[from + index]);
    return html`<tr><th scope="row">${name}</th><td class="num">${time}</td><td>${sight.sample ?? "no sample"}</td><td><a href="#${traceAnchor(sight.injection)}">${sight.injection}</a></td>${cells}</tr>\n`;
  });
}

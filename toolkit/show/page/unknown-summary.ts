import type { RegisteredUnknown, UnknownAbout, UnknownPlace } from "../../batch/types.js";
import { peakName } from "../text/ion-names.js";
import { type Content, html } from "../text/markup.js";
import { fixed } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { measuredColumn } from "./result-cell.js";

/** One unidentified peak as the summary needs it. */
export type SummedUnknown = Pick<RegisteredUnknown, "name" | "channel" | "retentionTime"> &
  UnknownAbout & {
    readonly knownAs?: RegisteredUnknown["knownAs"];
    readonly batches?: RegisteredUnknown["batches"];
  };

/** One row a peak: place, how often, since when, most of it, beside what, and what usually elutes there. */
export function unknownSummary(peaks: readonly SummedUnknown[]): Content {
  const largest = measuredColumn(peaks.map((peak) => peak.largest?.microequivalents));
  const several = peaks.some(({ batches }) => (batches?.length ?? 1) > 1);
  const rows = peaks.map((peak, i) => {
    const { place, seenWith } = peak;
    return html`<tr><th scope="row">${peakName(peak.name)} <small>${peak.channel}s</small></th><td class="num">${fixed(peak.retentionTime, 2)}</td><td class="text">${seenWords(peak, several)}</td>${largest[i]}<td>${peak.largest?.sample ?? ""}</td><td class="text">${between(place)}</td><td class="text">${mayBe(peak)}</td><td class="text">${seenWith.map(({ name, samples }) => `${peakName(name)} (${samples})`).join(", ")}</td></tr>\n`;
  });
  return html`<div class="scroll wide" tabindex="0" role="region" aria-label="Unidentified peaks, one row each"><table>
<thead><tr><th>peak</th><th class="num">retention / min</th><th>seen</th><th class="num">most in a sample ≥ / (µeq/L)</th><th>in</th><th>stands</th><th>may be</th><th>together with</th></tr></thead>
<tbody>${rows}</tbody></table></div>
${guessNotes(peaks)}`;
}

function seenWords(peak: SummedUnknown, several: boolean): string {
  const { injections, samples, blanks, firstSeen, lastSeen, batches } = peak;
  const days = [firstSeen, lastSeen].map((time) => unbroken(time.slice(0, 10)));
  const when = days[0] === days[1] ? days[0] : `${days[0]} to ${days[1]}`;
  const where = several ? `, ${counted(batches?.length ?? 1, "batch", "batches")}` : "";
  const blank = blanks.seen > 0 ? `; in ${blanks.seen} of ${blanks.of} blanks` : "";
  return `${counted(injections, "injection")}, ${counted(samples, "sample")}${where}, ${when}${blank}`;
}

/** A date that stays on one line. */
function unbroken(date: string): string {
  return date.replaceAll("-", "\u2011");
}

function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

function between({ after, before }: UnknownPlace): string {
  if (after === undefined) return before === undefined ? "alone" : `before ${before}`;
  return before === undefined ? `after ${after}` : `between ${after} and ${before}`;
}

function mayBe({ place, knownAs }: SummedUnknown): Content {
  if (knownAs !== undefined) return html`<strong>${knownAs.ion}</strong>, named ${unbroken(knownAs.on)}`;
  return place.candidates.length === 0 ? "–" : place.candidates.map(({ ion }) => ion).join(", ");
}

/** What would confirm each guess, folded away: guesses are many, and none is a name. */
function guessNotes(peaks: readonly SummedUnknown[]): Content {
  const notes = [...new Set(peaks.map(({ place }) => place.note))];
  const items = peaks.flatMap((peak) =>
    peak.knownAs === undefined
      ? peak.place.candidates.map(
          ({ ion, confirmBy }) =>
            html`<li>${peakName(peak.name)} as ${ion}: ${typesetSentence(confirmBy)}</li>\n`,
        )
      : [],
  );
  return html`<p class="note">“May be” is a guess from the place among the named peaks, never a name. ${notes.map((note) => html`${typesetSentence(note)} `)}</p>
${items.length > 0 && html`<details><summary>what would confirm a guess</summary><ul>${items}</ul></details>`}`;
}

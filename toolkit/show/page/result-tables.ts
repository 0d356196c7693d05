import type { Channel, Results, SampleBalance, SampleResult } from "../../batch/types.js";
import { ionColor } from "../color/ion-colors.js";
import { cautions, flagWords } from "../text/flag-words.js";
import { ionFormula } from "../text/ion-names.js";
import { type Content, html } from "../text/markup.js";
import { expanded } from "../text/measured-text.js";
import { signed } from "../text/numbers.js";
import { distinct } from "../text/words.js";
import { absenceSentences, withoutColumn } from "./absences.js";
import { balanceAnchor, flagAnchor } from "./anchors.js";
import { alignedCell, type ColumnRoom, cellText, resultCell, roomFor, STATUS_MARKS } from "./result-cell.js";

const CHANNEL_WORDS: Readonly<Record<Channel, string>> = { anion: "Anions", cation: "Cations" };

/**
 * What was found: one table a channel, a row for each sample, a column for each ion in the order of the method, the
 * charge balance last; below them the signs, the flags and the ions outside the method in words.
 */
export function resultTables(results: Results): Content {
  const rows = results.samples;
  const channels = distinct(rows.map((row) => row.channel));
  const byChannel = channels.map((channel) => rows.filter((row) => row.channel === channel));
  const visible = byChannel.flatMap((own) => own.filter((row) => !withoutColumn(own).has(row.ion)));
  const named = distinct(visible.flatMap((row) => cautions(row.flags)));
  const flags = new Map(named.map((flag, index) => [flag, index + 1]));
  const last = channels.length - 1;
  const tables = channels.map((channel, index) =>
    channelTable(channel, byChannel[index], flags, index === last ? results.balances : []),
  );
  const titrated = titratedIons(results.balances);
  const notes = byChannel.flatMap((own) => absenceSentences(own, titrated));
  const absences = notes.length > 0 && html`<p class="note">${notes.join(" ")}</p>\n`;
  return html`${tables}${absences}${signs(rows)}${flagList(flags)}`;
}

/** Hydrogencarbonate where the alkalinity of a sample says how much of it a balance counts. */
function titratedIons(balances: readonly SampleBalance[]): ReadonlySet<string> {
  const titrated = balances.some(({ flags = [] }) => flags.includes("alkalinity-as-hydrogencarbonate"));
  return new Set(titrated ? ["hydrogencarbonate"] : []);
}

function channelTable(
  channel: Channel,
  rows: readonly SampleResult[],
  flags: ReadonlyMap<string, number>,
  balances: readonly SampleBalance[],
): Content {
  const measured = rows.filter((row) => row.status !== "not measured");
  const hidden = withoutColumn(rows);
  const ions = distinct(rows.map((row) => row.ion)).filter((name) => !hidden.has(name));
  const units = distinct(rows.map((row) => row.unit));
  const rooms = new Map(
    ions.map((name) => [name, roomFor(measured.filter((row) => row.ion === name).map(cellText))] as const),
  );
  const balanceRoom = roomFor(balances.map(balanceText));
  const bodies = units.map((unit) => {
    const own = rows.filter((row) => row.unit === unit);
    const lines = distinct(own.map((row) => row.sample)).map((sample) => {
      const find = (name: string) => own.find((row) => row.sample === sample && row.ion === name);
      const cells = ions.map((name) => resultCell(find(name), rooms.get(name) as ColumnRoom, flags));
      const balance = balances.find((each) => each.sample === sample);
      return html`<tr><th scope="row">${sample}</th>${cells}${balances.length > 0 && balanceCell(balance, balanceRoom)}</tr>\n`;
    });
    const heading =
      units.length > 1 &&
      html`<tr><th scope="rowgroup" colspan="${ions.length + 2}"><small>${unit}</small></th></tr>\n`;
    return html`<tbody>${heading}${lines}</tbody>\n`;
  });
  const unit = units.length > 1 ? "" : units[0].includes("/") ? ` / (${units[0]})` : ` / ${units[0]}`;
  return html`<div class="scroll wide" tabindex="0" role="region" aria-label="${CHANNEL_WORDS[channel]} found"><table>
<thead><tr><th scope="col">${CHANNEL_WORDS[channel]}${unit}</th>${ions.map((name) => html`<th scope="col" class="num">${ionHeading(name)}</th>`)}${balances.length > 0 && html`<th scope="col" class="num">charge balance<small style="display:block">difference / %</small></th>`}</tr></thead>
${bodies}</table></div>
`;
}

/** The name of an ion in its colour, its formula below. */
function ionHeading(name: string): Content {
  const formula = ionFormula(name);
  return html`<span class="ion ib-${ionColor(name)}"><b>${name}</b>${formula && html`<small>${formula}</small>`}</span>`;
}

function balanceText(balance: SampleBalance): { value: string; uncertainty: string } {
  const half = expanded(balance.percentDifference);
  return { value: signed(balance.percentDifference.value, 1), uncertainty: `± ${half.toFixed(1)}` };
}

function balanceCell(balance: SampleBalance | undefined, room: ColumnRoom): Content {
  if (balance === undefined) return html`<td></td>`;
  const cell = balanceText(balance);
  const value = html`<a class="v" href="#${balanceAnchor(balance.sample)}">${cell.value}</a>`;
  return html`<td class="num">${alignedCell(cell, room, value)} <small>${balance.passed ? "passes" : "fails"}</small></td>`;
}

function signs(rows: readonly SampleResult[]): Content {
  const used = (Object.keys(STATUS_MARKS) as (keyof typeof STATUS_MARKS)[]).filter((status) =>
    rows.some((row) => row.status === status),
  );
  const list = used.map((status) => html`<br>${STATUS_MARKS[status].mark} ${STATUS_MARKS[status].words}.`);
  const factors = rows.flatMap((row) => (row.value === undefined ? [] : [row.value.interval().k]));
  const range = factors.length === 0 ? "" : factorText(Math.min(...factors), Math.max(...factors));
  return html`<p class="note">± is the expanded uncertainty for 95 % coverage${range}. A number leads to its trace.${list}</p>\n`;
}

function factorText(low: number, high: number): string {
  const [from, to] = [low.toFixed(1), high.toFixed(1)];
  return from === to ? `, k = ${from}` : `, k from ${from} to ${to} by degrees of freedom`;
}

function flagList(flags: ReadonlyMap<string, number>): Content {
  if (flags.size === 0) return undefined;
  const entries = [...flags].map(
    ([flag, number]) =>
      html`<br><span id="${flagAnchor(flag)}"><sup class="flag">${number}</sup> ${flagWords(flag)}</span>`,
  );
  return html`<p class="note">Flagged results:${entries}</p>\n`;
}

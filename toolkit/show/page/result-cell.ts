import type { SampleResult } from "../../batch/types.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { cautions } from "../text/flag-words.js";
import { type Content, html } from "../text/markup.js";
import { roundedMeasured } from "../text/measured-text.js";
import { limitText } from "../text/numbers.js";
import { flagAnchor, traceAnchor } from "./anchors.js";

/** Shapes that say the status beside a number, with their words: status is never a matter of colour. */
export const STATUS_MARKS = {
  "below quantification": {
    mark: "◐",
    words:
      "detected, but below the quantification limit: the number stands with a larger relative uncertainty",
  },
  "not detected": {
    mark: "○",
    words:
      "not detected: the signal lies below the critical value; what is given is the detection limit of this sample",
  },
  "above range": {
    mark: "▲",
    words: "above the calibrated range: an estimate, to be diluted and injected again",
  },
} as const;

/** The text of a table cell in two parts that line up with their neighbours. */
export interface CellText {
  readonly value: string;
  /** "± 0.3" or empty. */
  readonly uncertainty: string;
}

export function cellText(result: SampleResult): CellText {
  if (result.status === "not measured" || result.value === undefined) return { value: "", uncertainty: "" };
  const reporting = result.reported?.below === "reporting limit";
  if (result.status === "not detected" || reporting) {
    const limit = reporting ? result.reportingLimit : result.detectionLimit;
    return { value: limit === undefined ? "not detected" : `< ${limitText(limit)}`, uncertainty: "" };
  }
  const pair = roundedMeasured(result.value);
  return { value: pair.value, uncertainty: pair.uncertainty === "" ? "" : `± ${pair.uncertainty}` };
}

/** A bound says where a value is not; it stands at the edge of its cell and takes no part in the alignment. */
function isBound(cell: CellText): boolean {
  return cell.uncertainty === "";
}

/** Room that a column needs right of the decimal point and for the uncertainty, in figures. */
export interface ColumnRoom {
  readonly decimals: number;
  readonly uncertainty: number;
}

export function roomFor(cells: readonly CellText[]): ColumnRoom {
  const values = cells.filter((cell) => !isBound(cell));
  return {
    decimals: Math.max(0, ...values.map((cell) => decimalsOf(cell.value))),
    uncertainty: Math.max(0, ...cells.map((cell) => cell.uncertainty.length)),
  };
}

/** A number cell whose decimal point stands below those of its column. */
export function alignedCell(cell: CellText, room: ColumnRoom, value: Content): Content {
  if (isBound(cell)) return value;
  const width = Math.min(room.uncertainty, 14);
  return html`<span class="${padFor(cell.value, room.decimals)}">${value}</span>${width > 0 && html`<span class="u w${width}">${cell.uncertainty}</span>`}`;
}

/** A column of measured values in one unit, decimal points below each other; blank where there is none. */
export function measuredColumn(values: readonly (MeasuredValue | undefined)[]): readonly Content[] {
  const cells = values.map((value): CellText => {
    if (value === undefined) return { value: "", uncertainty: "" };
    const pair = roundedMeasured(value);
    return { value: pair.value, uncertainty: pair.uncertainty === "" ? "" : `± ${pair.uncertainty}` };
  });
  const room = roomFor(cells);
  return cells.map((cell) => html`<td class="num">${alignedCell(cell, room, cell.value)}</td>`);
}

/** A column of plain numbers, decimal points below each other. */
export function numberColumn(texts: readonly string[]): readonly Content[] {
  const decimals = Math.max(0, ...texts.map(decimalsOf));
  return texts.map(
    (text) => html`<td class="num"><span class="${padFor(text, decimals)}">${text}</span></td>`,
  );
}

/** The class that keeps free the figures which a number lacks behind its decimal point. */
function padFor(text: string, decimals: number): string {
  const own = decimalsOf(text);
  const missing = Math.min(decimals - own, 7);
  return missing <= 0 ? "" : own === 0 ? `d${missing}` : `p${missing}`;
}

/** One result as a table cell: linked to its trace, with the shape of its status and the numbers of its flags. */
export function resultCell(
  result: SampleResult | undefined,
  room: ColumnRoom,
  flagNumbers: ReadonlyMap<string, number>,
): Content {
  if (result === undefined) return html`<td></td>`;
  const flags = cautions(result.flags).map(
    (flag) =>
      html`<sup class="flag"><a href="#${flagAnchor(flag)}">${flagNumbers.get(flag) ?? "?"}</a></sup>`,
  );
  if (result.status === "not measured") {
    return html`<td class="num"><small>not measured</small>${flags}</td>`;
  }
  const cell = cellText(result);
  const shape = result.status === "quantified" ? undefined : STATUS_MARKS[result.status];
  const shown =
    result.injection === undefined
      ? cell.value
      : html`<a class="v" href="#${traceAnchor(result.injection)}">${cell.value}</a>`;
  const value = html`${shape && html`<span class="mark" aria-hidden="true">${shape.mark}</span><span class="unseen">${result.status} </span>`}${shown}`;
  const quiet = result.status === "not detected" ? " less" : "";
  return html`<td class="num${quiet}" title="${titleOf(result)}">${alignedCell(cell, room, html`${value}${flags}`)}</td>`;
}

function titleOf(result: SampleResult): string {
  const parts: string[] = [result.status];
  if (result.value !== undefined) parts.push(String(result.value));
  if (result.detectionLimit !== undefined)
    parts.push(`detection limit ${limitText(result.detectionLimit)} ${result.unit}`);
  if (result.dilution !== undefined && result.dilution !== 1) parts.push(`diluted ${result.dilution} times`);
  if (result.injection !== undefined) parts.push(`injection ${result.injection}`);
  parts.push(...result.flags);
  return parts.join(" · ");
}

function decimalsOf(text: string): number {
  const point = text.lastIndexOf(".");
  return point < 0 ? 0 : text.length - point - 1;
}

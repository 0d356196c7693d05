import { Faults } from "./faults.js";
import { hasDecimalComma, parseNumber } from "./parse-number.js";
import { PlainRows } from "./plain-rows.js";
import type { RawRecord } from "./raw-record.js";
import type { ReadOptions } from "./read-options.js";
import { findTextLayout, type TextLayout } from "./text-header.js";
import { isBlankOrComment, lineAt, splitLine } from "./text-lines.js";

/**
 * The record in a delimited text: two or more columns separated by comma, semicolon, tab or blanks, below a
 * header that names the units; time in min, conductivity in µS/cm. A decimal comma is read where the columns
 * are separated by semicolons, tabs or blanks. Blank lines and lines that begin with # are passed over. O(n).
 *
 * @throws IonbookError `no-data`, `no-header`, `missing-unit`, `ambiguous-column`, `malformed-row`,
 * `truncated-file`, `not-a-number`, `decimal-comma`, `time-not-increasing`
 */
export function readDelimitedText(text: string, file: string, options: ReadOptions): RawRecord {
  const layout = findTextLayout(text, file, options);
  const body = new BodyReader(layout, file);
  const plain =
    layout.delimiter === " " ? undefined : new PlainRows(text, { ...layout, width: widthOf(layout) });
  let offset = layout.bodyStart;
  for (let line = layout.bodyLine; offset < text.length; line++) {
    if (plain?.read(offset)) {
      if (!body.addPlainRow(plain, line)) break;
      offset = plain.next;
      continue;
    }
    const row = lineAt(text, offset, line);
    if (!isBlankOrComment(row.text) && !body.addRow(row.text, line)) break;
    offset = row.next;
  }
  return body.finish();
}

function widthOf(layout: TextLayout): number {
  return layout.titles.length === 0 ? 2 : layout.titles.length;
}

/** Takes the rows one by one into two growing columns and gathers what is wrong with them. */
class BodyReader {
  readonly #layout: TextLayout;
  readonly #faults: Faults;
  readonly #time: number[] = [];
  readonly #signal: number[] = [];
  readonly #width: number;
  readonly #decimalComma: boolean;
  #decimals = 0;
  #lastTime = Number.NEGATIVE_INFINITY;
  /** A row that broke off: a fault of the row, or of the whole file where nothing follows. */
  #short: { line: number; cells: number } | undefined;

  constructor(layout: TextLayout, file: string) {
    this.#layout = layout;
    this.#faults = new Faults(file);
    this.#width = widthOf(layout);
    this.#decimalComma = layout.delimiter !== ",";
  }

  /** False when reading on is of no use. */
  addRow(text: string, line: number): boolean {
    this.#settleShortRow();
    const { delimiter, timeColumn, signalColumn } = this.#layout;
    const cells = splitLine(text, delimiter);
    if (this.#hasTooMany(cells)) return this.#refuseLongRow(cells, line);
    if (!cells[timeColumn] || !cells[signalColumn]) {
      this.#short = { line, cells: cells.filter((cell) => cell !== "").length };
      return !this.#faults.full;
    }
    const time = this.#number(cells[timeColumn], line, timeColumn);
    const signal = this.#number(cells[signalColumn], line, signalColumn);
    if (Number.isNaN(time) || Number.isNaN(signal)) return !this.#faults.full;
    if (this.#time.length < 20) this.#decimals = Math.max(this.#decimals, decimalsOf(cells[timeColumn]));
    return this.#addPoint(time, signal, line);
  }

  /** The same for a row that was read as plain numbers. */
  addPlainRow(row: PlainRows, line: number): boolean {
    if (this.#short !== undefined) this.#settleShortRow();
    if (this.#time.length < 20) this.#decimals = Math.max(this.#decimals, row.timeDecimals);
    return this.#addPoint(row.time, row.signal, line);
  }

  finish(): RawRecord {
    const short = this.#short;
    if (short !== undefined) {
      this.#faults.add(
        "truncated-file",
        `the last row has ${short.cells} of ${this.#width} columns, so the file broke off: export or copy it again`,
        short.line,
      );
    }
    this.#faults.throwIfAny();
    if (this.#time.length < 2) {
      this.#faults.add(
        "no-data",
        `${this.#time.length === 0 ? "no row" : "one row"} of numbers follows the header: ` +
          "export the record again with its readings",
        this.#layout.bodyLine,
      );
      this.#faults.throwIfAny();
    }
    return this.#record();
  }

  #record(): RawRecord {
    const { time: timeUnit, signal: signalUnit } = this.#layout;
    return {
      time: scaled(this.#time, timeUnit.factor),
      signal: scaled(this.#signal, signalUnit.factor),
      timeUnit,
      signalUnit,
      timeResolution: 10 ** -this.#decimals * timeUnit.factor,
      remarks: [],
    };
  }

  #addPoint(time: number, signal: number, line: number): boolean {
    if (!(time > this.#lastTime)) {
      const title = this.#layout.titles[this.#layout.timeColumn];
      this.#faults.add("time-not-increasing", runsBack(time, this.#lastTime), line, title);
      return false;
    }
    this.#lastTime = time;
    this.#time.push(time);
    this.#signal.push(signal);
    return true;
  }

  #number(cell: string, line: number, column: number): number {
    const value = parseNumber(cell, this.#decimalComma);
    if (Number.isFinite(value)) return value;
    const title = this.#layout.titles[column] ?? `column ${column + 1}`;
    this.#faults.add("not-a-number", `"${cell}" is not a number: ${mendingNumber(cell)}`, line, title);
    return Number.NaN;
  }

  #hasTooMany(cells: readonly string[]): boolean {
    if (cells.length <= this.#width) return false;
    return cells.slice(this.#width).some((cell) => cell !== "");
  }

  #refuseLongRow(cells: readonly string[], line: number): boolean {
    if (this.#layout.delimiter === ",") {
      const title = this.#layout.titles[this.#layout.timeColumn];
      this.#faults.add(
        "decimal-comma",
        `the row has ${cells.length} cells where the header has ${this.#width}, so the numbers seem to be written ` +
          "with a decimal comma in a comma-separated file: export with decimal points, or separate the " +
          "columns with semicolons or tabs",
        line,
        title,
      );
      return false;
    }
    this.#faults.add(
      "malformed-row",
      `the row has ${cells.length} columns where the header has ${this.#width}: remove what does not belong there`,
      line,
    );
    return !this.#faults.full;
  }

  /** Another row follows: the short one was not the end of a file that broke off. */
  #settleShortRow(): void {
    if (this.#short === undefined) return;
    this.#faults.add(
      "malformed-row",
      `the row has ${this.#short.cells} of ${this.#width} columns, and a reading needs a time and a signal: ` +
        "complete the row or remove it",
      this.#short.line,
    );
    this.#short = undefined;
  }
}

function mendingNumber(cell: string): string {
  if (hasDecimalComma(cell)) {
    return "a decimal comma needs columns separated by semicolons or tabs; else write a decimal point";
  }
  return "write digits with a decimal point and no grouping, or remove the row";
}

function runsBack(time: number, last: number): string {
  if (time === last) {
    return `time stands still at ${time}: export it with more decimals, or remove the doubled row`;
  }
  return `time runs back from ${last} to ${time}: keep one record a file, its rows in the order of time`;
}

function decimalsOf(cell: string): number {
  const fraction = /[.,](\d*)(?:[eE]([+-]?\d+))?$/.exec(cell);
  if (fraction === null) return 0;
  return Math.max(0, fraction[1].length - Number(fraction[2] ?? 0));
}

function scaled(values: readonly number[], factor: number): Float64Array {
  const out = new Float64Array(values.length);
  for (let i = 0; i < out.length; i++) out[i] = values[i] * factor;
  return out;
}

import { IonbookError } from "../../errors.js";
import { parseNumber } from "./parse-number.js";
import type { ReadOptions } from "./read-options.js";
import { type ColumnLabel, type FoundUnit, findUnit, readColumnLabel, signalUnitOf } from "./signal-units.js";
import {
  type Delimiter,
  delimiterOf,
  isBlankOrComment,
  linesOf,
  splitLine,
  type TextLine,
} from "./text-lines.js";

/** Where the numbers of a text file stand and what they mean. */
export interface TextLayout {
  readonly delimiter: Delimiter;
  /** Titles of the columns as written; empty where the file has none. */
  readonly titles: readonly string[];
  readonly timeColumn: number;
  readonly signalColumn: number;
  readonly time: FoundUnit;
  readonly signal: FoundUnit;
  /** Offset and number of the first line after the header. */
  readonly bodyStart: number;
  readonly bodyLine: number;
}

const EXAMPLE = 'a line such as "time/min,conductivity/(µS/cm)"';

/**
 * Finds the header of a delimited text file: the last line of titles before the numbers of which one carries a
 * unit of time; titles and units may stand on two lines, and a leading # is allowed. Lines before it
 * (descriptions, "key: value") are passed over. `timeUnit` and `signalUnit` stand in for what a file does not say.
 *
 * @throws IonbookError `no-data`, `no-header`, `missing-unit`, `ambiguous-column`
 */
export function findTextLayout(text: string, file: string, options: ReadOptions): TextLayout {
  const { before, firstRow } = splitAtNumbers(text);
  const delimiter = firstRow === undefined ? undefined : delimiterOf(firstRow.text);
  const header = findHeader(before, delimiter);
  if (header !== undefined) return layoutOf(header, delimiter ?? header.delimiter, file, options);
  if (firstRow === undefined) {
    throw new IonbookError(
      "no-data",
      `no row of numbers was found: the file needs ${EXAMPLE} and one row of time and signal for each reading`,
      { file },
    );
  }
  return layoutWithoutUnits(before, firstRow, file, options);
}

interface Header {
  readonly titles: readonly string[];
  readonly labels: readonly ColumnLabel[];
  readonly delimiter: Delimiter;
  readonly line: TextLine;
}

/** The lines up to the first row of numbers, and that row. */
function splitAtNumbers(text: string): { before: TextLine[]; firstRow: TextLine | undefined } {
  const before: TextLine[] = [];
  for (const line of linesOf(text)) {
    if (isRowOfNumbers(line.text)) return { before, firstRow: line };
    before.push(line);
  }
  return { before, firstRow: undefined };
}

function isRowOfNumbers(line: string): boolean {
  if (isBlankOrComment(line)) return false;
  const delimiter = delimiterOf(line);
  const cells = splitLine(line, delimiter).filter((cell) => cell !== "");
  return cells.length >= 2 && cells.every((cell) => !Number.isNaN(parseNumber(cell, delimiter !== ",")));
}

function findHeader(before: readonly TextLine[], bodyDelimiter: Delimiter | undefined): Header | undefined {
  for (let i = before.length - 1; i >= 0; i--) {
    const header = headerIn(before, i, bodyDelimiter);
    if (header !== undefined) return header;
  }
  return undefined;
}

function headerIn(
  lines: readonly TextLine[],
  index: number,
  bodyDelimiter: Delimiter | undefined,
): Header | undefined {
  const line = lines[index];
  const text = uncommented(line.text);
  const delimiters = new Set([...(bodyDelimiter === undefined ? [] : [bodyDelimiter]), delimiterOf(text)]);
  for (const delimiter of delimiters) {
    const titles = splitTitles(text, delimiter);
    if (titles.length < 2 || titles.some((title) => !Number.isNaN(parseNumber(title, true)))) continue;
    const labels = titles.map(readColumnLabel);
    if (!labels.some((label) => label.unit?.quantity === "time")) continue;
    if (labels.some((label) => label.name !== "") || index === 0) return { titles, labels, delimiter, line };
    return withNamesAbove(lines[index - 1], { titles, labels, delimiter, line });
  }
  return undefined;
}

/** Joins a line of bare units with the titles on the line above it, where that line has as many. */
function withNamesAbove(above: TextLine, units: Header): Header {
  const names = splitTitles(uncommented(above.text), units.delimiter);
  if (names.length !== units.titles.length) return units;
  return {
    ...units,
    titles: names.map((name, i) => `${name} ${units.titles[i]}`.trim()),
    labels: units.labels.map((label, i) => ({ name: names[i], unit: label.unit })),
  };
}

function splitTitles(text: string, delimiter: Delimiter): string[] {
  if (delimiter !== " ") return dropEmptyEnd(splitLine(text, delimiter));
  const wide = text.trim().split(/\s{2,}/);
  return wide.length >= 2 ? wide : text.trim().split(/\s+(?![[(])/);
}

function dropEmptyEnd(cells: string[]): string[] {
  return cells.at(-1) === "" ? cells.slice(0, -1) : cells;
}

function uncommented(line: string): string {
  return line.trimStart().replace(/^#+\s*/, "");
}

function layoutOf(header: Header, delimiter: Delimiter, file: string, options: ReadOptions): TextLayout {
  const { labels, titles, line } = header;
  const timeColumn = labels.findIndex((label) => label.unit?.quantity === "time");
  const signalColumn = findSignalColumn(header, timeColumn, file, options);
  const signal =
    options.signalUnit === undefined ? labels[signalColumn].unit : signalUnitOf(options.signalUnit);
  if (signal === undefined) {
    throw new IonbookError(
      "missing-unit",
      `column "${titles[signalColumn]}" has no unit: write it as "${titles[signalColumn] || "signal"} (µS/cm)", ` +
        "or read the file with { signalUnit }",
      { file, line: line.number, column: titles[signalColumn] },
    );
  }
  return {
    delimiter,
    titles,
    timeColumn,
    signalColumn,
    time:
      options.timeUnit === undefined ? (labels[timeColumn].unit as FoundUnit) : timeUnitOf(options.timeUnit),
    signal,
    bodyStart: line.next,
    bodyLine: line.number + 1,
  };
}

function findSignalColumn(header: Header, timeColumn: number, file: string, options: ReadOptions): number {
  const { labels, titles, line } = header;
  const wanted = options.signalColumn;
  if (wanted !== undefined) {
    const index = titles.findIndex((title, i) => title === wanted || labels[i].name === wanted);
    if (index >= 0) return index;
  } else {
    const others = labels.map((_, i) => i).filter((i) => i !== timeColumn);
    const conducting = others.filter((i) => labels[i].unit?.quantity === "conductivity");
    if (conducting.length === 1) return conducting[0];
    const signals = others.filter((i) => labels[i].unit?.quantity !== "time");
    if (conducting.length === 0 && signals.length === 1) return signals[0];
  }
  const list = titles.map((title) => `"${title}"`).join(", ");
  throw new IonbookError(
    "ambiguous-column",
    `which column is the signal? The titles are ${list}: keep time and one signal, ` +
      "or read the file with { signalColumn: title }",
    { file, line: line.number },
  );
}

function layoutWithoutUnits(
  before: readonly TextLine[],
  firstRow: TextLine,
  file: string,
  options: ReadOptions,
): TextLayout {
  const delimiter = delimiterOf(firstRow.text);
  const above = before.filter((line) => line.text.trim() !== "").at(-1);
  const titles = above === undefined ? [] : splitTitles(uncommented(above.text), delimiter);
  const hasTitles = above !== undefined && titles.length >= 2 && !titles[0].includes(":");
  if (options.timeUnit === undefined || options.signalUnit === undefined) {
    throw hasTitles ? unitsMissing(titles, above.number, file) : headerMissing(firstRow.number, file);
  }
  const start = hasTitles ? above : before.at(-1);
  return {
    delimiter,
    titles: hasTitles ? titles : [],
    timeColumn: 0,
    signalColumn: 1,
    time: timeUnitOf(options.timeUnit),
    signal: signalUnitOf(options.signalUnit),
    bodyStart: start?.next ?? 0,
    bodyLine: (start?.number ?? 0) + 1,
  };
}

function unitsMissing(titles: readonly string[], line: number, file: string): IonbookError {
  return new IonbookError(
    "missing-unit",
    `the titles "${titles.join('", "')}" do not say in which units the numbers are: write ${EXAMPLE}, ` +
      "or read the file with { timeUnit, signalUnit }",
    { file, line },
  );
}

function headerMissing(line: number, file: string): IonbookError {
  return new IonbookError(
    "no-header",
    `no titles with units stand above the numbers: begin the file with ${EXAMPLE}, ` +
      "or read it with { timeUnit, signalUnit }",
    { file, line },
  );
}

function timeUnitOf(unit: NonNullable<ReadOptions["timeUnit"]>): FoundUnit {
  const found = findUnit(unit);
  if (found?.quantity === "time") return found;
  throw new IonbookError("unknown-unit", `"${unit}" is no unit of time: give "min", "s" or "h"`);
}

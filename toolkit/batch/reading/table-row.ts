import type { Faults } from "./faults.js";
import { hasDecimalComma, parseNumber } from "./parse-number.js";

/** What all rows of a table have in common. */
export interface RowContext {
  /** Titles of the columns in the order of the file. */
  readonly titles: readonly string[];
  readonly knownColumns: readonly string[];
  readonly decimalComma: boolean;
  readonly faults: Faults;
}

/** One row of a table, its cells asked for by column; what is wrong with a cell becomes a fault of the table. */
export class TableRow {
  /** Line of the file on which the row begins, counted from 1. */
  readonly line: number;
  readonly #cells: readonly string[];
  readonly #context: RowContext;

  constructor(cells: readonly string[], line: number, context: RowContext) {
    this.#cells = cells;
    this.line = line;
    this.#context = context;
  }

  fault(code: string, message: string, column?: string): void {
    this.#context.faults.add(code, message, this.line, column);
  }

  /** The cell without the blanks around it; empty where the table lacks the column. */
  text(column: string): string {
    const index = this.#context.titles.indexOf(column);
    return index < 0 ? "" : this.#cells[index].trim();
  }

  optionalText(column: string): string | undefined {
    return this.text(column) || undefined;
  }

  /** The cell's text; a blank one is a fault. */
  requiredText(column: string, mend: string): string {
    const text = this.text(column);
    if (text === "") this.fault("missing-value", `the cell is blank: ${mend}`, column);
    return text;
  }

  /** The cell's number; undefined where it is blank, NaN (and a fault) where it holds no number. */
  number(column: string): number | undefined {
    const text = this.text(column);
    if (text === "") return undefined;
    const value = parseNumber(text, this.#context.decimalComma);
    if (Number.isFinite(value)) return value;
    if (!this.#context.decimalComma && hasDecimalComma(text)) {
      const mended = text.replace(",", ".");
      const message = `"${text}" has a decimal comma in a comma-separated file: write ${mended}, or save the table with semicolons`;
      this.fault("decimal-comma", message, column);
    } else {
      this.fault(
        "not-a-number",
        `"${text}" is not a number: write digits only, with a decimal point`,
        column,
      );
    }
    return Number.NaN;
  }

  /** As `number`, a negative one being a fault too. */
  nonNegative(column: string): number | undefined {
    const value = this.number(column);
    if (value === undefined || !(value < 0)) return value;
    this.fault("negative-value", `${value} is negative: give zero or more`, column);
    return Number.NaN;
  }

  /** Cells of the columns that have no meaning here, kept to be shown. */
  other(): Record<string, string> {
    const { titles, knownColumns } = this.#context;
    const kept: Record<string, string> = {};
    titles.forEach((title, i) => {
      const text = this.#cells[i].trim();
      if (knownColumns.includes(title) || text === "") return;
      kept[title === "" ? `column ${i + 1}` : title] = text;
    });
    return kept;
  }
}

import { IonbookError } from "../../errors.js";
import { convert } from "../../ions/units.js";
import type { PrintedRow, PrintedTable } from "./published-table.js";
import {
  type DescribedColumn,
  QUANTITIES,
  type Quantity,
  type WaterDescription,
} from "./water-description.js";

/** One published analysis of a water. What was not determined is not there; nothing is put in its place. */
export interface PublishedWater {
  readonly sample: string;
  readonly station: string | undefined;
  /** As printed. */
  readonly date: string | undefined;
  /** Line of the table. */
  readonly line: number;
  /** mg/L by ion, those that were measured. */
  readonly concentrations: Readonly<Record<string, number>>;
  /** mg/L by ion: the limit below which it was found. */
  readonly below: Readonly<Record<string, number>>;
  /** Ions the table has a column for but this row no value. */
  readonly missing: readonly string[];
  readonly pH: number | undefined;
  /** mg/L as CaCO3 */
  readonly alkalinity: number | undefined;
  /** µS/cm, at the temperature it refers to in °C. */
  readonly conductivity: { readonly value: number; readonly at: number } | undefined;
  /** Of the water, °C. */
  readonly temperature: number | undefined;
  /** mg/L as SiO2 */
  readonly silica: number | undefined;
  /** All dissolved inorganic carbon, mmol/L. */
  readonly inorganicCarbon: number | undefined;
  /** mg/L, weighed. */
  readonly dissolvedSolids: number | undefined;
  /** Sums the publisher printed, meq/L, and 100·(C − A)/(C + A). */
  readonly published: {
    readonly cations: number | undefined;
    readonly anions: number | undefined;
    readonly percentDifference: number | undefined;
  };
  /** The whole row as printed. */
  readonly cells: Readonly<Record<string, string>>;
}

/** What a cell says. */
interface Reading {
  readonly value: number;
  readonly below: boolean;
  readonly column: DescribedColumn;
}

/** Factors to µS/cm. */
const CONDUCTIVITY_UNITS: Readonly<Record<string, number>> = {
  "µS/cm": 1,
  "uS/cm": 1,
  "mS/m": 10,
  "mS/cm": 1000,
};

/** One row of a table as an analysis. @throws IonbookError with file, line and column */
export function publishedRow(
  table: PrintedTable,
  description: WaterDescription,
  row: PrintedRow,
): PublishedWater {
  const read = new RowReader(table, description, row);
  const concentrations: Record<string, number> = {};
  const below: Record<string, number> = {};
  const missing: string[] = [];
  for (const name of read.ions) {
    const found = read.amount(name, name, "mg/L");
    if (found === undefined) missing.push(name);
    else (found.below ? below : concentrations)[name] = found.value;
  }
  return {
    sample: read.text("sample") ?? read.text("date") ?? `row ${row.line}`,
    station: read.text("station"),
    date: read.text("date"),
    line: row.line,
    concentrations,
    below,
    missing,
    pH: read.number("pH"),
    alkalinity: read.amount("alkalinity", "hydrogencarbonate", "mg/L as CaCO3")?.value,
    conductivity: read.conductivity(),
    temperature: read.number("temperature"),
    silica: read.amount("silica", "SiO2", "mg/L")?.value,
    inorganicCarbon: read.amount("inorganic carbon", "hydrogencarbonate", "mmol/L")?.value,
    dissolvedSolids: read.number("dissolved solids"),
    published: {
      cations: read.number("cation sum"),
      anions: read.number("anion sum"),
      percentDifference: read.number("percent difference"),
    },
    cells: row.cells,
  };
}

class RowReader {
  readonly #table: PrintedTable;
  readonly #description: WaterDescription;
  readonly #row: PrintedRow;

  constructor(table: PrintedTable, description: WaterDescription, row: PrintedRow) {
    this.#table = table;
    this.#description = description;
    this.#row = row;
  }

  /** Names of the ions that the table has columns for. */
  get ions(): readonly string[] {
    const held = this.#description.columns.map(({ holds }) => holds);
    const names = held.filter((name): name is string => name !== undefined && !isQuantity(name));
    return [...new Set(names)];
  }

  text(quantity: Quantity): string | undefined {
    for (const { name, holds } of this.#description.columns) {
      const cell = this.#row.cells[name];
      if (holds === quantity && !this.#description.missing.includes(cell)) return cell;
    }
    return undefined;
  }

  number(quantity: Quantity): number | undefined {
    return this.#first(quantity)?.value;
  }

  /** An amount of a substance in the unit wanted. */
  amount(
    holds: string,
    of: string,
    unit: string,
  ): { readonly value: number; readonly below: boolean } | undefined {
    const found = this.#first(holds);
    if (found === undefined) return undefined;
    const { value, below, column } = found;
    if (value < 0) {
      throw new IonbookError(
        "negative-concentration",
        `${value} is below zero; name it among the texts for "not determined" if it is one`,
        this.#place(column),
      );
    }
    const from = unitText(this.#unitOf(column));
    try {
      return { value: from === unit ? value : convert(value, from, unit, of), below };
    } catch (error) {
      throw new IonbookError(
        "unknown-unit",
        error instanceof Error ? error.message : String(error),
        this.#place(column),
      );
    }
  }

  conductivity(): PublishedWater["conductivity"] {
    const found = this.#first("conductivity");
    if (found === undefined) return undefined;
    const unit = this.#unitOf(found.column);
    const factor = CONDUCTIVITY_UNITS[unit];
    if (factor === undefined) {
      throw new IonbookError(
        "unknown-unit",
        `a conductivity is given in ${Object.keys(CONDUCTIVITY_UNITS).join(", ")}, not in "${unit}"`,
        this.#place(found.column),
      );
    }
    return { value: factor * found.value, at: found.column.at ?? 25 };
  }

  /** The first column, in the order of the description, that holds this and has a value. */
  #first(holds: string): Reading | undefined {
    for (const column of this.#description.columns) {
      if (column.holds !== holds) continue;
      const reading = this.#reading(column);
      if (reading !== undefined) return reading;
    }
    return undefined;
  }

  #reading(column: DescribedColumn): Reading | undefined {
    const cell = this.#row.cells[column.name];
    if (this.#description.missing.includes(cell)) return undefined;
    const marked = cell.startsWith("<");
    const value = Number(marked ? cell.slice(1) : cell);
    if (!Number.isFinite(value)) {
      throw new IonbookError("not-a-number", `"${cell}" is not a number`, this.#place(column));
    }
    if (this.#description.missing.some((text) => text !== "" && Number(text) === value)) return undefined;
    return { value, below: marked || this.#isBelow(column), column };
  }

  #isBelow({ flag }: DescribedColumn): boolean {
    const remark = flag === undefined ? "" : this.#row.cells[flag];
    if (remark === "" || remark === "E") return false;
    if (remark === "<") return true;
    throw new IonbookError(
      "unknown-flag",
      `the remark "${remark}" is not known: "<" below a limit, "E" estimated, or nothing`,
      { file: this.#table.file, line: this.#row.line, column: flag as string },
    );
  }

  #unitOf(column: DescribedColumn): string {
    const unit = column.unit ?? this.#table.units[column.name];
    if (unit !== undefined) return unit;
    throw new IonbookError(
      "unknown-unit",
      "neither the table nor its description states a unit",
      this.#place(column),
    );
  }

  #place(column: DescribedColumn) {
    return { file: this.#table.file, line: this.#row.line, column: column.name };
  }
}

function isQuantity(name: string): boolean {
  return (QUANTITIES as readonly string[]).includes(name);
}

/** "mg NO3/L" as tables write it, in our words: "mg/L as NO3". */
function unitText(unit: string): string {
  const spelled = /^(\S+) (\w+)\/L$/.exec(unit.trim());
  return spelled ? `${spelled[1]}/L as ${spelled[2]}` : unit.trim();
}

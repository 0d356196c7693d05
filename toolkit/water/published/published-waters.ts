import { join } from "node:path";
import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { noteFileRead } from "../../evidence.js";
import { type PublishedWater, publishedRow } from "./published-row.js";
import { readPrintedTable } from "./published-table.js";
import { DESCRIPTION_FILE, type DescribedColumn, readDescription } from "./water-description.js";

/** A published table of water analyses with its origin. */
export interface PublishedWaters {
  readonly kind: "published-waters";
  readonly title: string;
  readonly source: string;
  readonly licence: string;
  /** The table's file name. */
  readonly file: string;
  /** What every column holds, with its unit. */
  readonly columns: readonly DescribedColumn[];
  /** Columns of the table that nobody has described; their cells are kept. */
  readonly undescribed: readonly string[];
  readonly waters: readonly PublishedWater[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/**
 * Opens a folder of published water analyses: a CSV table as it was published, and `columns.json`, which says what its
 * columns hold, in which unit, how missing values are written, and where the table comes from. Concentrations come back in
 * mg/L of the ion; what was found below a limit and what was not determined are kept apart.
 *
 *     const { waters } = await openPublishedWaters("datasets/dune-groundwater");
 *     const { concentrations, options } = waterAnalysis(waters[0]);
 *     chargeBalance(concentrations, options);
 *
 * @param folder the folder that holds both files
 * @throws IonbookError "file-not-found", "bad-description", "bad-table", "missing-column", "not-a-number",
 *   "negative-concentration", "unknown-unit", "unknown-flag", each with file, line and column where there is one
 * @source each folder's own, in `source` and `licence`
 */
export async function openPublishedWaters(folder: string): Promise<PublishedWaters> {
  const description = await readDescription(folder);
  noteFileRead(join(folder, DESCRIPTION_FILE));
  const table = await readPrintedTable(join(folder, description.table), description);
  const described = new Set(description.columns.flatMap(({ name, flag }) => [name, ...(flag ? [flag] : [])]));
  const { title, source, licence } = description;
  const result: PublishedWaters = {
    kind: "published-waters",
    title,
    source,
    licence,
    file: description.table,
    columns: description.columns.map((column) => ({
      ...column,
      unit: column.unit ?? statedUnit(table.units[column.name]),
    })),
    undescribed: table.header.filter((name) => !described.has(name)),
    waters: table.rows.map((row) => publishedRow(table, description, row)),
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

/** A dash in a row of units says that there is none. */
function statedUnit(unit: string | undefined): string | undefined {
  return unit === "-" || unit === "" ? undefined : unit;
}

function describe({ title, waters, source, licence, columns }: PublishedWaters): string {
  const count = (of: (water: PublishedWater) => number): number =>
    waters.reduce((sum, water) => sum + of(water), 0);
  return [
    `${title}: ${waters.length} analyses`,
    `values below a limit ${count(({ below }) => Object.keys(below).length)}, not determined ${count(({ missing }) => missing.length)}`,
    `source: ${source}; licence: ${licence}`,
    ...columns
      .filter(({ holds }) => holds !== undefined)
      .map(({ name, holds, unit }) => `  ${name}: ${holds}${unit === undefined ? "" : `, ${unit}`}`),
  ].join("\n");
}

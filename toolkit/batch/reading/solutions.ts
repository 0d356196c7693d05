import { isIonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { convert } from "../../ions/units.js";
import type { SolutionIon } from "../types.js";
import { readTable } from "./csv-table.js";
import type { TableRow } from "./table-row.js";

const COLUMNS = {
  required: ["solution", "ion", "concentration", "unit", "u"],
  optional: ["stock", "u_stock"],
} as const;

/** What solutions.csv says, and what was noticed in it. */
export interface ReadSolutions {
  readonly solutions: readonly SolutionIon[];
  readonly remarks: readonly string[];
}

/**
 * Reads solutions.csv: what is known of each ion in each standard, converted to mg/L. `u_stock` is the part of
 * `u` that belongs to the stock; blank beside a named stock it is all of it.
 *
 * @throws IonbookError listing every fault: `missing-column`, `missing-value`, `not-a-number`, `negative-value`,
 * `unknown-ion`, `unknown-unit`, `doubled-row`, `bad-stock`
 */
export async function readSolutions(bytes: Uint8Array, file: string): Promise<ReadSolutions> {
  const table = await readTable(bytes, file, COLUMNS);
  const solutions: SolutionIon[] = [];
  const remarks: string[] = [...table.remarks];
  const lines = new Map<string, number>();
  for (const row of table.rows) {
    const found = readSolution(row, remarks);
    if (found === undefined) continue;
    const key = `${found.solution}\n${found.ion}`;
    const earlier = lines.get(key);
    if (earlier === undefined) {
      lines.set(key, row.line);
      solutions.push(found);
    } else {
      const message = `${found.ion} in "${found.solution}" stands in line ${earlier} already: keep one of the rows`;
      row.fault("doubled-row", message, "ion");
    }
  }
  table.faults.throwIfAny();
  return { solutions, remarks };
}

function readSolution(row: TableRow, remarks: string[]): SolutionIon | undefined {
  const solution = row.requiredText("solution", "name the solution");
  const name = ionName(row);
  const concentration = row.nonNegative("concentration");
  if (concentration === undefined) {
    row.fault("missing-value", "the cell is blank: a standard needs a concentration", "concentration");
  }
  const u = row.nonNegative("u");
  if (u === undefined) {
    remarks.push(
      `line ${row.line}: no standard uncertainty is given for "${solution}", so it counts as exact`,
    );
  }
  const uStock = stockPart(row, u ?? 0);
  const factor = name === undefined ? undefined : factorToMilligrams(row, name);
  if (name === undefined || factor === undefined || concentration === undefined) return undefined;
  return {
    solution,
    ion: name,
    concentration: concentration * factor,
    u: (u ?? 0) * factor,
    stock: row.optionalText("stock"),
    uStock: uStock * factor,
    line: row.line,
  };
}

function ionName(row: TableRow): string | undefined {
  const written = row.requiredText("ion", "name the ion");
  if (written === "") return undefined;
  try {
    return ion(written).name;
  } catch (error) {
    if (!isIonbookError(error)) throw error;
    row.fault(error.code, error.message, "ion");
    return undefined;
  }
}

/** mg/L per unit of the row: every unit of concentration is proportional to mg/L. */
function factorToMilligrams(row: TableRow, name: string): number | undefined {
  const unit = row.requiredText("unit", 'write "mg/L", or the unit the concentration is in');
  if (unit === "") return undefined;
  try {
    return convert(1, unit, "mg/L", name);
  } catch (error) {
    if (!isIonbookError(error)) throw error;
    const hint = /^\d+$/.test(unit) ? " (does a decimal comma stand in a comma-separated file?)" : "";
    row.fault(error.code, error.message + hint, "unit");
    return undefined;
  }
}

function stockPart(row: TableRow, u: number): number {
  const part = row.nonNegative("u_stock");
  const isNamed = row.text("stock") !== "";
  if (part === undefined) return isNamed ? u : 0;
  if (!isNamed && part > 0) {
    row.fault(
      "bad-stock",
      "a part of u is the stock's, but no stock is named: name it, or leave u_stock blank",
      "stock",
    );
  }
  if (part > u) {
    row.fault(
      "bad-stock",
      `u_stock ${part} is greater than u ${u}, whose part it is: give u as the whole standard uncertainty`,
      "u_stock",
    );
  }
  return part;
}

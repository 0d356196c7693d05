import { nearestNames } from "../../ions/nearest-names.js";
import type { Injection, InjectionKind } from "../types.js";
import { readTable, type Table } from "./csv-table.js";
import { signalPathFault } from "./signal-path.js";
import type { TableRow } from "./table-row.js";

const COLUMNS = {
  required: ["injection", "signal", "injected_at", "kind", "solution", "dilution"],
  optional: ["u_dilution", "parent", "remark"],
} as const;

const KINDS: readonly InjectionKind[] = [
  "calibration",
  "blank",
  "second source",
  "continuing check",
  "fortified blank",
  "reference material",
  "sample",
  "duplicate",
  "matrix spike",
  "matrix spike duplicate",
];

/** Injections of what a client brought: their dilution must be stated. */
const OF_SAMPLES: readonly InjectionKind[] = [
  "sample",
  "duplicate",
  "matrix spike",
  "matrix spike duplicate",
];

/** A worksheet whose rows were read one by one and not yet held against the other tables. */
export interface ReadWorksheet {
  readonly injections: readonly Injection[];
  /** The row of each injection, for faults found later. */
  readonly rows: ReadonlyMap<Injection, TableRow>;
  readonly table: Table;
  readonly remarks: readonly string[];
}

/**
 * Reads the rows of worksheet.csv in run order. Faults are gathered in the table and not thrown yet, so that
 * those found against the other files join them.
 */
export async function readWorksheet(bytes: Uint8Array, file: string): Promise<ReadWorksheet> {
  const table = await readTable(bytes, file, COLUMNS);
  const rows = new Map<Injection, TableRow>();
  const lines = new Map<string, number>();
  for (const row of table.rows) {
    const injection = readInjection(row);
    if (injection === undefined) continue;
    const earlier = lines.get(injection.id);
    if (earlier !== undefined) {
      const message = `injection "${injection.id}" stands in line ${earlier} already: give each injection its own name`;
      row.fault("duplicate-injection", message, "injection");
    }
    lines.set(injection.id, row.line);
    rows.set(injection, row);
  }
  if (table.rows.length === 0)
    table.faults.add("no-data", "no row follows the header: list the injections in run order", 2);
  const injections = [...rows.keys()];
  return { injections, rows, table, remarks: [...table.remarks, ...timeOrderRemarks(injections)] };
}

/** The injection of a row; undefined where a fault leaves nothing to go on with. */
function readInjection(row: TableRow): Injection | undefined {
  const kind = readKind(row);
  const id = row.requiredText("injection", "name the injection");
  const signal = readSignalPath(row);
  const dilution = readDilution(row, kind);
  const uDilution = row.nonNegative("u_dilution") ?? 0;
  const injectedAt = readTime(row);
  if (kind === undefined || id === "") return undefined;
  const solution =
    kind === "blank"
      ? row.text("solution")
      : row.requiredText("solution", `name the solution or sample that this ${kind} is an injection of`);
  return {
    id,
    signal,
    injectedAt,
    kind,
    solution,
    dilution,
    uDilution,
    parent: row.optionalText("parent"),
    remark: row.optionalText("remark"),
    line: row.line,
    other: row.other(),
  };
}

function readKind(row: TableRow): InjectionKind | undefined {
  const written = row.requiredText("kind", `write one of ${KINDS.join(", ")}`);
  if (written === "") return undefined;
  const plain = written.toLowerCase().replace(/[\s_-]+/g, " ");
  const kind = KINDS.find((name) => name === plain);
  if (kind !== undefined) return kind;
  const [near] = nearestNames(plain, KINDS, 1);
  const hint = near === undefined ? "" : ` (is "${near}" meant?)`;
  row.fault(
    "unknown-kind",
    `"${written}" is no kind of injection${hint}: write one of ${KINDS.join(", ")}`,
    "kind",
  );
  return undefined;
}

function readSignalPath(row: TableRow): string {
  const path = row.requiredText("signal", "name the file of the chromatogram").replace(/\\/g, "/");
  const fault = signalPathFault(path);
  if (fault !== undefined) row.fault("path-outside-folder", fault, "signal");
  return path;
}

function readDilution(row: TableRow, kind: InjectionKind | undefined): number {
  const dilution = row.number("dilution");
  if (dilution === undefined) {
    if (kind !== undefined && OF_SAMPLES.includes(kind)) {
      row.fault(
        "missing-value",
        "the cell is blank: write the factor, 1 where nothing was diluted",
        "dilution",
      );
    }
    return 1;
  }
  if (dilution < 1) {
    const message =
      `a dilution of ${dilution} is not possible: write the factor between the prepared sample and what was ` +
      "injected, 10 for one part in ten, 1 where nothing was diluted";
    row.fault("bad-dilution", message, "dilution");
  }
  return dilution;
}

const ISO_8601 =
  /^\d{4}-\d{2}-\d{2}(?:[T ]\d{2}:?\d{2}(?::?\d{2}(?:[.,]\d+)?)?(?:Z|[+-]\d{2}(?::?\d{2})?)?)?$/;

function readTime(row: TableRow): string {
  const written = row.text("injected_at");
  if (written === "" || !Number.isNaN(millisecondsOf(written))) return written;
  row.fault(
    "bad-date",
    `"${written}" is no date and time of ISO 8601: write it as 2025-02-14T09:30:00`,
    "injected_at",
  );
  return written;
}

/** Milliseconds since the epoch, NaN for what is no ISO 8601 date; without an offset the time is local. */
function millisecondsOf(written: string): number {
  return ISO_8601.test(written) ? Date.parse(written.replace(" ", "T").replace(",", ".")) : Number.NaN;
}

function timeOrderRemarks(injections: readonly Injection[]): string[] {
  const remarks: string[] = [];
  let latest: { id: string; at: number } | undefined;
  for (const { id, injectedAt, line } of injections) {
    const at = millisecondsOf(injectedAt);
    if (Number.isNaN(at)) continue;
    if (latest !== undefined && at < latest.at) {
      remarks.push(
        `line ${line}: "${id}" was injected before "${latest.id}" that stands above it; the rows' order counts`,
      );
    } else latest = { id, at };
  }
  return remarks;
}

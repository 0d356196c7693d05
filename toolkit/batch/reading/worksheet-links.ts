import { nearestNames } from "../../ions/nearest-names.js";
import type { Injection, InjectionKind, Method, Sample, SolutionIon } from "../types.js";
import type { ReadWorksheet } from "./worksheet.js";

/** Kinds whose solution is a row of samples.csv; a blank's is free, all others' are rows of solutions.csv. */
const IN_SAMPLES: readonly InjectionKind[] = ["sample", "duplicate"];
const WITH_PARENT: readonly InjectionKind[] = ["duplicate", "matrix spike", "matrix spike duplicate"];

/** The tables a worksheet refers to; undefined where the folder has no such file. */
export interface LinkedTables {
  readonly method: Method;
  readonly solutions: readonly SolutionIon[] | undefined;
  readonly samples: readonly Sample[] | undefined;
}

/**
 * Holds every injection against the tables it refers to: its solution or sample must be known, a standard must
 * have a value for an ion of the method, a duplicate or spike must name the sample's injection it belongs to.
 * Faults join those of the worksheet.
 */
export function checkLinks(worksheet: ReadWorksheet, tables: LinkedTables): void {
  const byId = new Map(worksheet.injections.map((injection) => [injection.id, injection]));
  for (const injection of worksheet.injections) {
    if (injection.solution !== "" && injection.kind !== "blank") checkSolution(worksheet, injection, tables);
    checkParent(worksheet, injection, byId);
  }
}

function checkSolution(worksheet: ReadWorksheet, injection: Injection, tables: LinkedTables): void {
  const row = worksheet.rows.get(injection);
  const { kind, solution } = injection;
  if (IN_SAMPLES.includes(kind)) {
    const known = tables.samples?.map((sample) => sample.sample);
    if (known?.includes(solution)) return;
    row?.fault("unknown-sample", missingName(solution, kind, "samples.csv", known), "solution");
    return;
  }
  const known = tables.solutions?.map((entry) => entry.solution);
  if (!known?.includes(solution)) {
    row?.fault("unknown-solution", missingName(solution, kind, "solutions.csv", known), "solution");
    return;
  }
  const measured = tables.method.ions.map((entry) => entry.ion);
  const hasValue = tables.solutions?.some(
    (entry) => entry.solution === solution && measured.includes(entry.ion),
  );
  if (!hasValue) {
    const message =
      `"${solution}" has no value in solutions.csv for any ion of the method (${measured.join(", ")}): ` +
      "add its rows there, or mend the name";
    row?.fault("standard-without-values", message, "solution");
  }
}

function missingName(
  name: string,
  kind: InjectionKind,
  file: string,
  known: readonly string[] | undefined,
): string {
  if (known === undefined)
    return `the ${kind} "${name}" needs a row in ${file}, but the folder has no such file: add it`;
  const [near] = nearestNames(name, [...new Set(known)], 1);
  const hint = near === undefined ? "" : ` (is "${near}" meant?)`;
  return `the ${kind} "${name}" has no row in ${file}${hint}: add it there, or mend the name`;
}

function checkParent(
  worksheet: ReadWorksheet,
  injection: Injection,
  byId: ReadonlyMap<string, Injection>,
): void {
  const row = worksheet.rows.get(injection);
  const { kind, parent } = injection;
  if (parent === undefined) {
    if (WITH_PARENT.includes(kind)) {
      row?.fault("missing-parent", `a ${kind} needs the injection it belongs to: name it`, "parent");
    }
    return;
  }
  const found = byId.get(parent);
  if (found === undefined) {
    const [near] = nearestNames(parent, [...byId.keys()], 1);
    const hint = near === undefined ? "" : ` (is "${near}" meant?)`;
    row?.fault(
      "unknown-parent",
      `no injection is called "${parent}"${hint}: write the name of one`,
      "parent",
    );
  } else if (WITH_PARENT.includes(kind) && !canBeParent(found, injection)) {
    row?.fault(
      "unknown-parent",
      `"${parent}" is ${found === injection ? "this injection itself" : `a ${found.kind}`}: a ${kind} belongs to the injection of a sample`,
      "parent",
    );
  }
}

/** A spike's duplicate may name the first spike instead of the sample. */
function canBeParent(parent: Injection, child: Injection): boolean {
  if (parent === child) return false;
  if (parent.kind === "sample" || parent.kind === "duplicate") return true;
  return parent.kind === "matrix spike" && child.kind === "matrix spike duplicate";
}

import type { SampleResult } from "../../batch/types.js";
import { cautions } from "../text/flag-words.js";
import { limitText, quantity } from "../text/numbers.js";
import { distinct, listed, sentenceCase } from "../text/words.js";

/**
 * Ions of a channel that a sentence tells shorter than a column: looked for in several samples and detected in none, with
 * nothing to flag; or measured in no sample at all. One column always stays, for the samples to be seen.
 */
export function withoutColumn(rows: readonly SampleResult[]): ReadonlySet<string> {
  const names = distinct(rows.map((row) => row.ion));
  const unmeasured = names.filter((name) => isUnmeasured(rowsOf(rows, name)));
  const absent = names.filter((name) => isAbsent(rowsOf(rows, name)));
  const all = unmeasured.length + absent.length === names.length;
  return new Set([...unmeasured, ...(all ? absent.slice(1) : absent)]);
}

/**
 * What was found in no sample, with its limits, and what was not measured, with the reason.
 *
 * @param titrated ions that a charge balance counts though no channel measured them
 */
export function absenceSentences(
  rows: readonly SampleResult[],
  titrated: ReadonlySet<string>,
): readonly string[] {
  const hidden = [...withoutColumn(rows)];
  const absent = hidden.filter((name) => isAbsent(rowsOf(rows, name)));
  const unmeasured = hidden.filter((name) => !absent.includes(name));
  const counted = unmeasured.filter((name) => titrated.has(name));
  const open = unmeasured.filter((name) => !titrated.has(name));
  const reasons = distinct(open.map((name) => reasonOf(rowsOf(rows, name))));
  const grouped = reasons.map((reason) =>
    unmeasuredSentence(
      open.filter((name) => reasonOf(rowsOf(rows, name)) === reason),
      reason,
    ),
  );
  return [
    ...absent.map((name) => absentSentence(name, rowsOf(rows, name))),
    ...counted.map((name) => `${sentenceCase(name)} is taken from the alkalinity, by no channel.`),
    ...grouped,
  ];
}

function rowsOf(rows: readonly SampleResult[], name: string): readonly SampleResult[] {
  return rows.filter((row) => row.ion === name);
}

function isUnmeasured(own: readonly SampleResult[]): boolean {
  return own.every((row) => row.status === "not measured");
}

function isAbsent(own: readonly SampleResult[]): boolean {
  const plain = own.every(
    (row) =>
      row.status === "not detected" && row.detectionLimit !== undefined && cautions(row.flags).length === 0,
  );
  return own.length > 1 && plain && distinct(own.map((row) => row.unit)).length === 1;
}

function absentSentence(name: string, own: readonly SampleResult[]): string {
  const limits = own.flatMap((row) => row.detectionLimit ?? []);
  const [low, high] = [limitText(Math.min(...limits)), limitText(Math.max(...limits))];
  const range = low === high ? `< ${low}` : `< ${low} to < ${high}`;
  return `${sentenceCase(name)} was detected in no sample (${quantity(range, own[0].unit)}, the detection limits).`;
}

function reasonOf(own: readonly SampleResult[]): string {
  return distinct(own.flatMap((row) => row.flags)).join(", ");
}

function unmeasuredSentence(names: readonly string[], reason: string): string {
  const [verb, it] = names.length === 1 ? ["was", "it"] : ["were", "they"];
  const why = reason === "" ? " by this method" : ` (${reason})`;
  return `${sentenceCase(listed(names, 12))} ${verb} not measured${why}: ${it} may be present.`;
}

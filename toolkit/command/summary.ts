import type { ResultStatus, Results } from "../batch/types.js";

/** The states in the order in which they are told. */
const STATES: readonly ResultStatus[] = [
  "quantified",
  "below quantification",
  "not detected",
  "above range",
  "not measured",
];

/** What came out of a batch, in at most six lines for a terminal. */
export function summaryOf(results: Results): readonly string[] {
  const { samples, checks, balances, unknowns } = results;
  const names = new Set(samples.map((row) => row.sample)).size;
  const states = STATES.map((state) => [samples.filter((row) => row.status === state).length, state] as const)
    .filter(([count]) => count > 0)
    .map(([count, state]) => `${count} ${state}`);
  const failed = checks.filter((check) => !check.passed);
  const lines = [
    `${results.title}${results.invented ? " (invented data)" : ""}`,
    `  ${names} samples, ${samples.length} results: ${states.join(", ")}`,
    `  checks: ${checks.length - failed.length} passed, ${failed.length} failed${failed.length === 0 ? "" : ` (${kindsOf(failed)})`}`,
  ];
  if (balances.length > 0) {
    const passed = balances.filter((balance) => balance.passed).length;
    lines.push(`  charge balance: ${passed} of ${balances.length} samples pass`);
  }
  if (unknowns.length > 0) {
    lines.push(`  unidentified peaks: ${unknowns.map((peak) => peak.name).join(", ")}`.slice(0, 110));
  }
  return lines;
}

function kindsOf(failed: readonly { readonly check: string }[]): string {
  const kinds = [...new Set(failed.map((check) => check.check))];
  return kinds.length <= 3
    ? kinds.join(", ")
    : `${kinds.slice(0, 3).join(", ")} and ${kinds.length - 3} more`;
}

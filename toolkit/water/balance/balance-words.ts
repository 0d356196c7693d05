import type { MeasuredValue } from "../../uncertainty/measured.js";
import type { CoverageNote } from "./balance-coverage.js";
import type { CriterionResult } from "./balance-criteria.js";
import type { BalanceConvention } from "./conventions.js";
import type { Suspect } from "./suspects.js";
import type { DifferenceWithUnknowns } from "./unknown-charge.js";

const VERDICTS = { pass: "passed", warn: "warning", fail: "failed" } as const;

/** What is told of a balance. */
interface Told {
  readonly cations: MeasuredValue;
  readonly anions: MeasuredValue;
  readonly percentDifference: MeasuredValue;
  readonly passed: boolean;
  readonly conventions: readonly BalanceConvention[];
  readonly withUnknowns: DifferenceWithUnknowns | undefined;
  readonly criteria: readonly CriterionResult[];
  readonly coverage: readonly CoverageNote[];
  readonly suspects: readonly Pick<Suspect, "cause" | "why">[];
  readonly flags: readonly string[];
}

/** The balance for people who read text: sums, difference in every convention, rules, coverage, suspects, flags. */
export function describe(balance: Told): string {
  const lines = [
    `cations ${inWords(balance.cations)}, anions ${inWords(balance.anions)}`,
    `difference ${inWords(balance.percentDifference)} of the sum of both: ${balance.passed ? "passed" : "failed"}`,
    ...balance.conventions.flatMap(({ letter, name, formula, value }) =>
      value === undefined ? [] : [`  (${letter}) ${name}, ${formula}: ${inWords(value)}`],
    ),
    ...(balance.withUnknowns === undefined ? [] : [unknownsInWords(balance.withUnknowns)]),
    ...balance.criteria.map(
      ({ source, limit, verdict, convention }) =>
        `  ${VERDICTS[verdict]} ${limit}, convention (${convention}): ${source}`,
    ),
    ...balance.coverage.map(({ source, words }) => `  contents, ${source}: ${words}`),
    ...balance.suspects.map(({ cause, why }) => `  suspect: ${cause} (${why})`),
  ];
  if (balance.flags.length > 0) lines.push(`flags: ${balance.flags.join("; ")}`);
  return lines.join("\n");
}

/** What unidentified anions make of the difference, one sentence. */
export function unknownsInWords(found: DifferenceWithUnknowns): string {
  const { unknown, atMost, atLeast, percentAtMost, verdict } = found;
  const closes = {
    closes: "the balance closes",
    "may close": "the balance closes only if they carry more than was counted",
    "does not close": "the balance does not close",
  }[verdict];
  const rest = `${inWords(atMost)} (${inWords(percentAtMost)})`;
  if (unknown.to === undefined) {
    return `unidentified anions carry at least ${inWords(unknown.from)}: the difference is then at most ${rest}, open below; ${closes}`;
  }
  if (atLeast === undefined || atLeast === atMost) {
    return `unidentified anions carry ${inWords(unknown.from)}: the difference is then ${rest}; ${closes}`;
  }
  return `unidentified anions carry ${inWords(unknown.from)} to ${inWords(unknown.to)}: the difference is then between ${inWords(atLeast)} and ${rest}; ${closes}`;
}

/** A value without uncertainty has no digit to stop at: four significant ones are enough for a balance. */
export function inWords(value: MeasuredValue): string {
  if (value.u > 0) return String(value);
  return `${Number(value.value.toPrecision(4))}${value.unit === "1" ? "" : ` ${value.unit}`}`;
}

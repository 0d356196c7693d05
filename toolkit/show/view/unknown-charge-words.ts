import type { SampleBalance } from "../../batch/types.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { measuredText } from "../text/measured-text.js";
import { quantity, significant } from "../text/numbers.js";

const VERDICTS = {
  closes: "the least of it closes the balance",
  "may close": "only if they carry more than the least does the balance close",
  "does not close": "the balance does not close with it",
} as const;

/** What the unidentified anions carry and what that makes of the difference; empty where there are none. */
export function unknownWords({ unknownAnions, withUnknowns }: SampleBalance): string {
  const least = withUnknowns?.unknown.from ?? unknownAnions;
  if (least === undefined) return "";
  if (withUnknowns === undefined) return `Beside these, unidentified anions carry ${text(least)}.`;
  const { unknown, percentAtMost, percentAtLeast, verdict } = withUnknowns;
  const exact = unknown.to !== undefined && unknown.to.value === least.value;
  const carry = exact
    ? text(least)
    : unknown.to === undefined
      ? `at least ${text(least)} (a weak acid shows only part of its charge)`
      : `at least ${text(least)} and at most ${text(unknown.to)}`;
  const rest = exact
    ? `the difference is then ${text(percentAtMost)}`
    : percentAtLeast === undefined
      ? `the difference is then at most ${text(percentAtMost)}`
      : `the difference is then between ${text(percentAtLeast)} and ${text(percentAtMost)}`;
  const outcome = exact && verdict === "closes" ? "with it the balance closes" : VERDICTS[verdict];
  return `Beside these, unidentified anions carry ${carry}: ${rest}; ${outcome}.`;
}

function text(value: MeasuredValue): string {
  return value.u > 0 ? measuredText(value) : quantity(significant(value.value, 3), value.unit);
}

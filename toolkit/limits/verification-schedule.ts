import { type JudgedTest, judgedTest } from "../calibration/tests-of-fit/judged-test.js";
import type { LowSpike } from "./ladder-types.js";

/** What the rule of ongoing verification is told from. */
export const RULE = "40 CFR 136 App. B rev. 2, section (4) (from memory)";
const MONTHS_VALID = 13;
const IN_TWO_YEARS = 8;
const EACH_QUARTER = 2;
/** When low standards were run, and the age of the limit. */
export interface ScheduleData {
  readonly spikes: readonly LowSpike[];
  readonly established?: string | undefined;
  readonly today?: string | undefined;
}

/** Low standards by quarter and in two years, and the age of the limit; what has no dates is due. */
export function verificationSchedule({ spikes, established, today }: ScheduleData): {
  readonly criteria: readonly JudgedTest[];
  readonly due: readonly string[];
} {
  const months = spikes.map(({ date }) => monthOf(date));
  if (spikes.length === 0 || months.includes(undefined)) {
    return {
      criteria: [],
      due: ["without a date on every low standard nobody can tell whether they were run each quarter"],
    };
  }
  const known = months as number[];
  const now = monthOf(today) ?? Math.max(...known);
  const quarters = new Map<number, number>();
  // The quarter that still runs is not late yet.
  for (let q = Math.floor(Math.min(...known) / 3); q < Math.floor(now / 3); q++) quarters.set(q, 0);
  for (const month of known) {
    const q = Math.floor(month / 3);
    if (quarters.has(q)) quarters.set(q, (quarters.get(q) ?? 0) + 1);
  }
  const inThis = known.filter((month) => Math.floor(month / 3) === Math.floor(now / 3)).length;
  const recent = known.filter((month) => month > now - 24).length;
  const start = monthOf(established);
  const criterion = (test: string, statistic: number, critical: number, passed: boolean, verdict: string) =>
    judgedTest({ test, statistic, critical, p: undefined, passed, verdict, source: RULE });
  const missed = [...quarters]
    .filter(([, count]) => count < EACH_QUARTER)
    .map(([q]) => `${Math.floor(q / 4)} Q${(q % 4) + 1}`);
  const everyQuarter =
    missed.length === 0 ? "every full quarter has its low standards" : `too few in ${missed.join(", ")}`;
  const criteria = [
    ...(quarters.size === 0
      ? []
      : [
          criterion(
            `at least ${EACH_QUARTER} low standards in each quarter`,
            Math.min(...quarters.values()),
            EACH_QUARTER,
            missed.length === 0,
            everyQuarter,
          ),
        ]),
    ...(start === undefined
      ? []
      : [
          criterion(
            `recomputed every ${MONTHS_VALID} months`,
            now - start,
            MONTHS_VALID,
            now - start <= MONTHS_VALID,
            now - start <= MONTHS_VALID
              ? "the limit is young enough"
              : `the limit is ${now - start} months old: recompute it`,
          ),
        ]),
  ];
  const due = [
    ...(inThis < EACH_QUARTER ? [`${inThis} of ${EACH_QUARTER} low standards were run in this quarter`] : []),
    ...(recent < IN_TWO_YEARS
      ? [`${recent} of ${IN_TWO_YEARS} low standards were run in the last 24 months`]
      : []),
    ...(start === undefined
      ? ["without the date when it was established nobody can tell the age of the limit"]
      : []),
  ];
  return { criteria, due };
}

/** Months since year 0; `undefined` for no date. */
export function monthOf(date: unknown): number | undefined {
  const found = typeof date === "string" ? /^(\d{4})-(\d{2})/.exec(date) : null;
  if (!found) return undefined;
  const month = Number(found[2]);
  return month >= 1 && month <= 12 ? 12 * Number(found[1]) + month - 1 : undefined;
}

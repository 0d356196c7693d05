import { requireKnownOptions } from "../ions/known-options.js";
import {
  type DraftTest,
  levelTest,
  RUNNING,
  runningMeanTest,
  scatterTest,
  shareTest,
  short,
  trendTest,
} from "./blank-tests.js";
import type {
  BlankTest,
  BlankTestName,
  BlankWarning,
  BlankWatch,
  BlankWatchData,
  BlankWatchOptions,
  OmittedBlankTest,
  ShareAbove,
} from "./blank-watch-types.js";
import { checkErrorProbability } from "./check-replicates.js";
import { readWatchedBlanks, type WatchedBlanks } from "./read-watched-blanks.js";
import { shareInterval } from "./share-above.js";
import { shown } from "./shown.js";

const KNOWN_OPTIONS: Readonly<Record<keyof BlankWatchOptions, true>> = { alpha: true, alarm: true };
/** A slope needs something left to scatter about it. */
const FEWEST_FOR_TREND = 4;

const WARNINGS: Readonly<Record<BlankTestName, BlankWarning["name"]>> = {
  scatter: "blanks-scatter-more",
  level: "blanks-level-shifted",
  "share above": "blanks-above-critical-value",
  trend: "blanks-drift",
  "running mean": "blanks-contaminated",
  "scatter of low standards": "low-standards-scatter-more",
  "level of low standards": "low-standards-level-shifted",
};

/**
 * Whether new blanks still agree with the limits in force, which rest on blanks measured earlier: one result with a test
 * for each way to disagree and a named warning for each that failed. Contents and limits in `unit` (mg/L).
 *
 *     scatter       F = s²/s₀², one-sided
 *     level         t = (x̄ − x̄₀)/(s_p·√(1/n + 1/n₀)), two-sided
 *     share above   P(K ≥ k) of k blanks of n above x_C at the rate α
 *     trend         slope over the sequence against its standard error, two-sided
 *     running mean  mean of the last 20 blanks ≤ x_C, earlier and new together
 *
 * x̄₀, s₀, n₀ of the earlier blanks, x̄, s, n of the new ones. Each of the k tests that can be made fails at p ≤ alarm/k, so
 * that nothing is warned of with probability 1 − alarm at least while nothing has changed. Where there are low standards
 * too, their scatter and level are tested alike. Tests that the data do not allow stand under `omitted` with the reason.
 * A drop of the level is told as well: the limits are then higher than need be.
 *
 * Valid for independent, nearly normal blanks over a fixed window. That nothing is found in few blanks shows little: with
 * four new blanks against ten a threefold scatter is seen about every third time (computed here).
 *
 * @throws IonbookError "unknown-option", "bad-option", "bad-level", "not-a-number", "too-few-replicates" for fewer than four
 *   earlier values, "no-scatter" where those all agree
 * @source what is watched (s₀ by F at 1 %, mean of 20 blanks against x_C): common practice, no source; tests: textbook;
 *   division of the false-alarm probability: Bonferroni
 */
export function watchBlanks(data: BlankWatchData, options: BlankWatchOptions = {}): BlankWatch {
  requireKnownOptions(options, KNOWN_OPTIONS, "watchBlanks");
  const { alpha = 0.05, alarm = 0.01 } = options;
  checkErrorProbability(alpha, "alpha");
  checkErrorProbability(alarm, "alarm");
  const read = readWatchedBlanks(data, alpha);
  const { tests, omitted } = judged(read, alpha, alarm);
  const failed = tests.filter(({ passed }) => !passed);
  const above = read.values.filter((value) => value > read.criticalValue).length;
  const watch = {
    kind: "blank-watch",
    ion: data.ion,
    unit: read.unit,
    definition: read.definition,
    criticalValue: read.criticalValue,
    earlier: read.earlier,
    blanks: read.values.map((value, i) => ({ at: read.at[i], value, above: value > read.criticalValue })),
    withoutNumber: data.blanks.length - read.values.length,
    share: shareOf(above, read.values.length, alpha),
    tests,
    omitted,
    alarm,
    contradicted: failed.length > 0,
    warnings: failed.map((test) => ({ name: WARNINGS[test.name], text: sentence(test, data.ion) })),
  } as const;
  return shown(watch, () => textOf(watch));
}

/** Tests that can be made, each at its share of the false-alarm probability, and those that cannot. */
function judged(
  read: WatchedBlanks,
  alpha: number,
  alarm: number,
): { readonly tests: readonly BlankTest[]; readonly omitted: readonly OmittedBlankTest[] } {
  const omitted: OmittedBlankTest[] = [];
  const drafts: DraftTest[] = [];
  const take = (name: BlankTestName, because: string | undefined, draft: () => DraftTest) => {
    if (because === undefined) drafts.push(draft());
    else omitted.push({ name, because });
  };
  const { earlier, values, at, unit, lowStandards } = read;
  const n = values.length;
  const none = n === 0 ? "no new blank gave a number" : undefined;
  const without = none ?? whyNotCompared(read);
  take("scatter", without ?? (n < 2 ? "one new blank shows no scatter" : undefined), () =>
    scatterTest("scatter", "blanks", earlier, values),
  );
  take("level", without, () => levelTest("level", "blanks", earlier, values, unit));
  take(
    "trend",
    none ?? (n < FEWEST_FOR_TREND ? `a trend needs ${FEWEST_FOR_TREND} blanks, there are ${n}` : undefined),
    () => trendTest(at, values, unit),
  );
  if (lowStandards !== undefined) {
    const { earlier: before, later } = lowStandards;
    const names = ["scatter of low standards", "level of low standards"] as const;
    const few = later.length === 0 ? "there are no new low standards" : undefined;
    take(names[0], few ?? (later.length < 2 ? "one new low standard shows no scatter" : undefined), () =>
      scatterTest(names[0], "low standards", before, later),
    );
    take(names[1], few, () => levelTest(names[1], "low standards", before, later, unit));
  }
  const ofShare = none ?? (read.own ? OWN : undefined);
  const level = alarm / (drafts.length + (ofShare === undefined ? 1 : 0));
  const tests = drafts.map((draft) => draft(level));
  if (ofShare !== undefined) omitted.push({ name: "share above", because: ofShare });
  else {
    const above = values.filter((value) => value > read.criticalValue).length;
    const test = shareTest(above, n, alpha, read.estimatedFrom)(level);
    if (test) tests.push(test);
    else
      omitted.push({
        name: "share above",
        because: `even ${n} of ${n} above it would be no proof at ${short(100 * level)} %`,
      });
  }
  const all = [...earlier, ...values];
  if (all.length >= RUNNING && !read.own) tests.push(runningMeanTest(all, read.criticalValue));
  else
    omitted.push({
      name: "running mean",
      because: read.own ? OWN : `it takes ${RUNNING} blanks, there are ${all.length}`,
    });
  return { tests, omitted };
}

const OWN = "the limits rest on these blanks themselves";

function whyNotCompared({ earlier, own }: WatchedBlanks): string | undefined {
  if (own) return OWN;
  return earlier.length === 0 ? "the limits rest on no earlier blanks" : undefined;
}

function shareOf(above: number, of: number, allowed: number): ShareAbove | undefined {
  return of === 0 ? undefined : { above, of, ...shareInterval(above, of), allowed };
}

function sentence({ verdict, statistic, critical, p }: BlankTest, ion: string | undefined): string {
  const chance = p === undefined ? "" : `, p ${p < 1e-4 ? "< 0.0001" : Number(p.toPrecision(2))}`;
  const against = critical === undefined ? "" : ` against ${short(critical)}`;
  return `${ion === undefined ? "" : `${ion}: `}${verdict} (${short(statistic)}${against}${chance})`;
}

type WatchFigures = Pick<
  BlankWatch,
  | "ion"
  | "unit"
  | "definition"
  | "criticalValue"
  | "blanks"
  | "earlier"
  | "tests"
  | "omitted"
  | "warnings"
  | "withoutNumber"
>;

function textOf(watch: WatchFigures): string {
  const { ion, unit, definition, criticalValue, blanks, earlier, tests, omitted, warnings } = watch;
  const of = ion === undefined ? "" : ` of ${ion}`;
  const against = earlier.length > 0 ? ` against ${earlier.length} earlier ones` : "";
  const outcome =
    warnings.length > 0
      ? "THE LIMITS IN FORCE ARE CONTRADICTED"
      : tests.length === 0
        ? "nothing could be tested"
        : "the limits in force are not contradicted";
  return [
    `${blanks.length} blanks${of}${against}: ${outcome} (critical value ${short(criticalValue)} ${unit}, ${definition})`,
    ...(watch.withoutNumber > 0 ? [`  ${watch.withoutNumber} more blanks gave no number`] : []),
    ...tests.map((test) => `${test.passed ? "  " : "! "}${test}`),
    ...omitted.map(({ name, because }) => `  ${name}: not tested, ${because}`),
  ].join("\n");
}

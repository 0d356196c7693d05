import { type JudgedTest, judgedTest } from "../calibration/tests-of-fit/judged-test.js";
import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { short } from "./blank-tests.js";
import type { ShareAbove } from "./blank-watch-types.js";
import type { LowSpike } from "./ladder-types.js";
import { type MethodDetectionLimit, methodDetectionLimit } from "./method-detection-limit.js";
import { shareInterval } from "./share-above.js";
import { type Shown, shown } from "./shown.js";
import { monthOf, RULE, verificationSchedule } from "./verification-schedule.js";

export interface DetectionLimitVerificationData {
  /** @default "mg/L" */
  readonly unit?: string | undefined;
  readonly ion?: string | undefined;
  /** Method detection limit in force. */
  readonly mdl: number;
  /** When it was established, ISO date. */
  readonly established?: string | undefined;
  /** Low standards of one level run since, on one instrument. */
  readonly spikes: readonly LowSpike[];
  /** Blanks run since; null where one gave no number. */
  readonly blanks?: readonly (number | null)[] | undefined;
  /** ISO date to judge at. @default the date of the latest low standard */
  readonly today?: string | undefined;
}

/** Whether a method detection limit may stay in force. */
export interface DetectionLimitVerification extends Shown {
  readonly kind: "detection-limit-verification";
  readonly ion: string | undefined;
  readonly unit: string;
  readonly mdl: number;
  /** From the new low standards and blanks; `undefined` while there are too few. */
  readonly recomputed: MethodDetectionLimit | undefined;
  /** Recomputed over that in force. */
  readonly ratio: number | undefined;
  /** Blanks above the limit in force; a blank without a number is below it. */
  readonly share: ShareAbove | undefined;
  readonly criteria: readonly JudgedTest[];
  /** Every criterion is kept. */
  readonly kept: boolean;
  /** What is still to be measured, in words. */
  readonly due: readonly string[];
}

const KNOWN: Readonly<Record<keyof DetectionLimitVerificationData, true>> = {
  unit: true,
  ion: true,
  mdl: true,
  established: true,
  spikes: true,
  blanks: true,
  today: true,
};
const FEWEST = 7;
const NARROW = 0.5;
const WIDE = 2;
const MOST_ABOVE = 0.03;
/** Levels that are one level, relative. */
const SAME_LEVEL = 0.05;

/**
 * Whether a method detection limit may stay in force, by the US rule for ongoing verification, line by line:
 *
 *     recomputed     0.5 ≤ MDL(new)/MDL ≤ 2.0, from at least 7 low standards and 7 blanks run since
 *     blanks         fewer than 3 % above MDL, with the exact interval of the true share beside it
 *     running        at least 2 low standards in each quarter and 8 in 24 months, on each instrument
 *     age            recomputed at least every 13 months
 *
 * Contents in `unit` (mg/L). Lines for which dates or data are missing are not judged but named under `due`. With few
 * blanks the rule of 3 % is crude: one of ten above fails it, although a true share of 3 % gives that in every fourth such
 * set; the interval tells.
 *
 * @throws IonbookError "unknown-option", "bad-option", "negative-concentration", "not-a-number", "mixed-levels"
 * @source US 40 CFR Part 136, Appendix B, Revision 2 (2017), section II (4) (from memory); interval: Clopper and Pearson
 */
export function verifyDetectionLimit(data: DetectionLimitVerificationData): DetectionLimitVerification {
  requireData(data);
  const { mdl, spikes, blanks = [], unit = "mg/L", ion } = data;
  const recomputed = recomputedOf(spikes, blanks);
  const ratio = recomputed && recomputed.mdl / mdl;
  const above = blanks.filter((blank) => blank !== null && blank > mdl).length;
  const share =
    blanks.length === 0
      ? undefined
      : { above, of: blanks.length, ...shareInterval(above, blanks.length), allowed: MOST_ABOVE };
  const running = verificationSchedule(data);
  const criteria = [
    ...(ratio === undefined ? [] : [ratioCriterion(ratio)]),
    ...(share === undefined ? [] : [shareCriterion(share)]),
    ...running.criteria,
  ];
  const due = [
    ...(recomputed
      ? []
      : [
          `to recompute it takes ${FEWEST} low standards and ${FEWEST} blanks; there are ${spikes.length} and ${blanks.length}`,
        ]),
    ...(share ? [] : ["no blanks were given"]),
    ...running.due,
  ];
  const verification = {
    kind: "detection-limit-verification",
    ion,
    unit,
    mdl,
    recomputed,
    ratio,
    share,
    criteria,
    kept: criteria.length > 0 && criteria.every(({ passed }) => passed),
    due,
  } as const;
  return shown(verification, () => textOf(verification));
}

function requireData(data: DetectionLimitVerificationData): void {
  requireKnownOptions(data, KNOWN, "verifyDetectionLimit");
  const { mdl, spikes, blanks } = data;
  if (!(typeof mdl === "number" && mdl > 0 && mdl < Infinity)) {
    throw new IonbookError(
      "negative-concentration",
      `verifyDetectionLimit: mdl is ${String(mdl)}; give the method detection limit in force, above zero`,
    );
  }
  if (!Array.isArray(spikes) || (blanks !== undefined && !Array.isArray(blanks))) {
    throw new IonbookError(
      "bad-option",
      'verifyDetectionLimit takes spikes: [{ level: 0.02, value: 0.0218, date: "2026-03-01" }, …] and blanks: [0.0021, null, …]',
    );
  }
  spikes.forEach((spike, i) => {
    if (spike?.level > 0 && Number.isFinite(spike.level) && Number.isFinite(spike.value)) return;
    throw new IonbookError(
      "not-a-number",
      `Spike ${i + 1} has level ${String(spike?.level)} and value ${String(spike?.value)}: both must be numbers, the level above zero`,
    );
  });
  const bad = (blanks ?? []).findIndex((blank) => blank !== null && !Number.isFinite(blank));
  if (bad >= 0) {
    throw new IonbookError(
      "not-a-number",
      `Blank ${bad + 1} is ${String((blanks as readonly unknown[])[bad])}: give its number, or null where it gave none`,
    );
  }
  const other = spikes.find(({ level }) => Math.abs(level / spikes[0].level - 1) > SAME_LEVEL);
  if (other) {
    throw new IonbookError(
      "mixed-levels",
      `Low standards of ${spikes[0].level} and of ${other.level} cannot be taken together: verify with those of one level`,
    );
  }
  for (const [name, date] of [
    ["established", data.established],
    ["today", data.today],
  ] as const) {
    if (date !== undefined && monthOf(date) === undefined) {
      throw new IonbookError(
        "bad-option",
        `verifyDetectionLimit: ${name} is ${String(date)}; write it as 2026-03-01`,
      );
    }
  }
}

function recomputedOf(
  spikes: readonly LowSpike[],
  blanks: readonly (number | null)[],
): MethodDetectionLimit | undefined {
  if (spikes.length < FEWEST || blanks.length < FEWEST) return undefined;
  return methodDetectionLimit({ fortified: spikes.map(({ value }) => value), blanks });
}

function ratioCriterion(ratio: number): JudgedTest {
  const passed = ratio >= NARROW && ratio <= WIDE;
  return judgedTest({
    test: "recomputed limit between half and twice that in force",
    statistic: ratio,
    critical: ratio < 1 ? NARROW : WIDE,
    p: undefined,
    passed,
    verdict: passed
      ? "the limit in force may be kept"
      : `the recomputed limit is ${short(ratio)} times that in force: put it in its place`,
    source: RULE,
  });
}

function shareCriterion({ above, of, low, high }: ShareAbove): JudgedTest {
  const passed = above / of < MOST_ABOVE;
  const between = `the true share lies between ${short(100 * low)} and ${short(100 * high)} % (95 %)`;
  const doubt =
    passed || low > MOST_ABOVE ? "" : "; so few blanks do not show that it is more than 3 %: measure more";
  return judgedTest({
    test: "fewer than 3 % of the blanks above the limit in force",
    statistic: above / of,
    critical: MOST_ABOVE,
    p: undefined,
    passed,
    verdict: `${above} of ${of} lie above it; ${between}${doubt}`,
    source: `${RULE}; interval: Clopper and Pearson 1934`,
  });
}

function textOf({
  ion,
  unit,
  mdl,
  kept,
  criteria,
  due,
}: Omit<DetectionLimitVerification, keyof Shown>): string {
  const of = ion === undefined ? "" : ` of ${ion}`;
  const outcome =
    criteria.length === 0
      ? "nothing could be judged"
      : kept
        ? "may stay in force"
        : "MUST NOT SIMPLY STAY IN FORCE";
  return [
    `method detection limit${of} ${short(mdl)} ${unit}: ${outcome}`,
    ...criteria.map((each) => `${each.passed ? "  " : "! "}${each}`),
    ...due.map((each) => `  due: ${each}`),
  ].join("\n");
}

import type { BlankTest, BlankTestName, BlankWatch } from "../../limits/blank-watch-types.js";
import type { CheckResult } from "../types.js";
import type { EvaluatedChannel } from "./evaluate-channel.js";
import type { IonLimitLadder } from "./ion-limits.js";

/** Beginning of the names of these checks. */
export const BLANKS_AGAINST_LIMITS = "blanks against limits";

/** How the statistic of each test is written. */
const SYMBOLS: Readonly<Record<BlankTestName, string>> = {
  scatter: "F",
  level: "|t|",
  "share above": "blanks above",
  trend: "|t|",
  "running mean": "mean",
  "scatter of low standards": "F",
  "level of low standards": "|t|",
};

/**
 * The blanks of the batch held against the limits in force, one check for each test: all of them where the limits come
 * from elsewhere, and a trend that contradicts limits which rest on the blanks themselves.
 */
export function blankWatchChecks(
  channel: EvaluatedChannel,
  limits: readonly (IonLimitLadder | undefined)[],
): readonly CheckResult[] {
  return channel.ions.flatMap(({ ion }, j) => {
    const watch = limits[j]?.ladder.watch;
    if (watch === undefined) return [];
    return watch.tests
      .filter(({ passed }) => !passed || comesFromElsewhere(watch))
      .map((test) => checkOf(test, ion, channel, watch));
  });
}

function comesFromElsewhere({ tests }: BlankWatch): boolean {
  return tests.some(({ name }) => name !== "trend");
}

function checkOf(test: BlankTest, ion: string, channel: EvaluatedChannel, watch: BlankWatch): CheckResult {
  const { name, statistic, critical, passed, verdict, source } = test;
  const unit = name === "running mean" ? ` ${watch.unit}` : "";
  return {
    check: `${BLANKS_AGAINST_LIMITS}, ${name}`,
    injection: "",
    ion,
    channel: channel.batch.method.channel,
    found: statistic,
    expected: undefined,
    limit: critical === undefined ? "" : `${SYMBOLS[name]} ≤ ${Number(critical.toPrecision(3))}${unit}`,
    passed,
    source,
    touches: [passed ? "results near the limits" : `results near the limits: ${verdict}`],
  };
}

import type { CheckResult, Results, SampleResult } from "../../batch/types.js";
import { distinct, listed } from "../text/words.js";

/** What the results ask the analyst to do next, most useful first; empty when nothing is open. */
export function nextSteps(results: Results): readonly string[] {
  const steps: string[] = [];
  const above = results.samples.filter((row) => row.status === "above range");
  if (above.length > 0) {
    const which = distinct(above.map((row) => `${row.sample} (${row.ion})`));
    steps.push(
      `Dilute further and inject again: ${listed(which, 8)}. The value lies above the highest standard.`,
    );
  }
  const touched = touchedSamples(
    results.checks.filter((check) => !check.passed),
    results.samples,
  );
  if (touched.length > 0) {
    steps.push(
      `Find the cause of the failed checks, then inject once more what they govern: ${listed(touched, 8)}.`,
    );
  }
  for (const balance of results.balances.filter((each) => !each.passed && each.suspects.length > 0)) {
    steps.push(`${balance.sample} does not balance. First suspect: ${balance.suspects[0]}.`);
  }
  for (const { ion, verdict } of results.calibrations.filter((each) => each.verdict !== "accepted")) {
    steps.push(`Look at the calibration of ${ion}: ${verdict}.`);
  }
  return steps;
}

/** Samples that checks name among what they touch; a check may also name it in general words. */
export function touchedSamples(
  checks: readonly CheckResult[],
  samples: readonly SampleResult[],
): readonly string[] {
  const names = new Set(samples.map((row) => row.sample));
  return distinct(checks.flatMap((check) => check.touches)).filter((name) => names.has(name));
}

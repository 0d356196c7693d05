import { BLANKS_AGAINST_LIMITS } from "../quantify/blank-watch-checks.js";
import type { CheckResult, Results, SampleResult } from "../types.js";

/** Checks that speak of every result of their ion. */
const WHOLE_ION: ReadonlySet<string> = new Set(["second source", "fortified blank", "reference material"]);

/**
 * The checks by which a result stands or falls, failed ones first: those that name its sample, those of its ion as a
 * whole, the calibration levels on both sides of it, and blanks that were not clean.
 */
export function governingChecks(
  results: Results,
  row: SampleResult,
  injected: number | undefined,
): readonly CheckResult[] {
  const own = results.checks.filter((check) => check.ion === row.ion && check.channel === row.channel);
  const levels = neighbouringLevels(own, injected);
  const governing = own.filter(
    (check) =>
      check.touches.includes(row.sample) ||
      WHOLE_ION.has(check.check) ||
      (check.check === "calibration level" && levels.has(check.expected ?? Number.NaN)) ||
      ((check.check === "blank" || check.check.startsWith(BLANKS_AGAINST_LIMITS)) && !check.passed),
  );
  return [...governing.filter((check) => !check.passed), ...governing.filter((check) => check.passed)];
}

/** The nearest calibration level below a concentration and the nearest above. */
function neighbouringLevels(
  checks: readonly CheckResult[],
  injected: number | undefined,
): ReadonlySet<number> {
  if (injected === undefined) return new Set();
  const levels = checks.flatMap((check) =>
    check.check === "calibration level" && check.expected !== undefined ? [check.expected] : [],
  );
  const below = levels.filter((level) => level <= injected);
  const above = levels.filter((level) => level > injected);
  return new Set([
    ...(below.length > 0 ? [Math.max(...below)] : []),
    ...(above.length > 0 ? [Math.min(...above)] : []),
  ]);
}

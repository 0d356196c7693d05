import type { CheckResult, SampleResult } from "../types.js";
import { BLANKS_AGAINST_LIMITS } from "./blank-watch-checks.js";

/** Carries failed checks to exactly the results they govern, as flags. */
export function flagByChecks(
  results: readonly SampleResult[],
  checks: readonly CheckResult[],
): SampleResult[] {
  const failed = checks.filter((c) => !c.passed);
  return results.map((row) => {
    if (row.value === undefined) return row;
    const flags = failed.flatMap((c) => flagOf(row, c));
    return flags.length === 0 ? row : { ...row, flags: [...new Set([...row.flags, ...flags])] };
  });
}

const STANDS_WHEN_HIGH: ReadonlySet<string> = new Set(["continuing check", "fortified blank"]);

/** The flag of results that are judged by limits which the blanks of the batch contradict. */
const LIMITS_DOUBTFUL = "blanks-contradict-limits";

function flagOf(row: SampleResult, check: CheckResult): string[] {
  if (check.ion !== row.ion || check.channel !== row.channel) return [];
  const high = check.expected !== undefined && check.found > check.expected;
  // A check that read high cannot have hidden anything: what was not detected stands.
  if (high && row.status === "not detected" && STANDS_WHEN_HIGH.has(check.check)) return [];
  if (check.check.startsWith(BLANKS_AGAINST_LIMITS)) {
    return row.status === "not detected" || row.status === "below quantification" ? [LIMITS_DOUBTFUL] : [];
  }
  switch (check.check) {
    case "continuing check":
      return check.touches.includes(row.sample) ? [high ? "check-high" : "check-low"] : [];
    case "second source":
      return ["standards-disagree"];
    case "fortified blank":
      return [high ? "recovery-high" : "recovery-low"];
    case "reference material":
      return ["reference"];
    case "matrix spike":
    case "matrix spike duplicate":
      return check.touches.includes(row.sample) ? ["matrix"] : [];
    case "duplicate":
    case "matrix spike pair":
      return check.touches.includes(row.sample) ? ["duplicates"] : [];
    case "blank": {
      // Contamination matters to results of its own size: those below ten times the blank, as injected.
      const injected = (row.value?.value ?? 0) / (row.dilution ?? 1);
      return row.unit === "mg/L" && injected < 10 * check.found ? ["blank"] : [];
    }
    default:
      return [];
  }
}

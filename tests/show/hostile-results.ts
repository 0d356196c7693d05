// The invented results with markup in every place that a user's files can name: titles, samples, remarks, flags …
import { makeResults } from "../../toolkit/batch/quantify/results.js";
import type { Results } from "../../toolkit/batch/types.js";
import { inventedResults } from "./invented-results.js";

export const MARKUP = `</script><script>window.broken=1</script><img src=x onerror="window.broken=1">'"&`;

export function hostileResults(): Results {
  const plain = inventedResults({ points: 800 });
  const rename = (sample: string): string => (sample === "well 3" ? `${MARKUP} well 3` : sample);
  return makeResults({
    ...plain,
    title: MARKUP,
    batches: plain.batches.map((batch) => ({
      ...batch,
      folder: MARKUP,
      method: {
        ...batch.method,
        title: MARKUP,
        detection: MARKUP,
        eluent: { kind: MARKUP, program: [[0, 1]] as const },
        other: { [MARKUP]: MARKUP, nested: { [MARKUP]: [MARKUP] } },
      },
      noticed: [{ where: MARKUP, what: MARKUP }],
      files: [{ path: MARKUP, sha256: MARKUP }],
    })),
    samples: plain.samples.map((row) => ({
      ...row,
      sample: rename(row.sample),
      flags: [...row.flags, MARKUP],
    })),
    calibrations: plain.calibrations.map((each) => ({
      ...each,
      limitDefinition: MARKUP,
      verdict: MARKUP,
      points: each.points.map((point) => ({ ...point, rejected: point.rejected && MARKUP })),
    })),
    checks: plain.checks.map((check, index) => ({
      ...check,
      check: index % 5 === 0 ? MARKUP : check.check,
      limit: MARKUP,
      source: MARKUP,
      touches: [MARKUP],
      passed: index % 5 !== 0,
    })),
    balances: plain.balances.map((balance) => ({
      ...balance,
      sample: rename(balance.sample),
      passed: false,
      suspects: [MARKUP],
      criteria: [{ source: MARKUP, limit: MARKUP, passed: false }],
    })),
    unknowns: plain.unknowns.map((unknown) => ({
      ...unknown,
      name: MARKUP,
      seenIn: unknown.seenIn.map((sight) => ({ ...sight, sample: MARKUP })),
    })),
    traces: new Map(
      [...plain.traces].map(([id, trace]) => {
        const { injection } = trace;
        const named = {
          ...injection,
          solution: rename(injection.solution),
          remark: MARKUP,
          injectedAt: MARKUP,
        };
        const peaks = trace.peaks.map((peak) =>
          peak.identity === "unknown" ? { ...peak, ion: MARKUP } : peak,
        );
        return [id, { ...trace, injection: named, peaks }];
      }),
    ),
  });
}

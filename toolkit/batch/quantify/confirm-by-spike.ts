import type { CheckResult } from "../types.js";
import type { EvaluatedChannel } from "./evaluate-channel.js";

/** Names confirmed by spiking, as JSON [injection, ion]: the spiked peak stood at the same aligned time and recovered. */
export function confirmedBySpike(
  channel: EvaluatedChannel,
  checks: readonly CheckResult[],
): ReadonlySet<string> {
  const out = new Set<string>();
  for (const check of checks) {
    if (!check.check.startsWith("matrix spike") || check.check === "matrix spike pair" || !check.passed)
      continue;
    const spiked = channel.runs.find((r) => r.injection.id === check.injection);
    const parent = channel.runs.find((r) => r.injection.id === spiked?.injection.parent);
    const j = channel.ions.findIndex((i) => i.ion === check.ion);
    const [a, b] = [parent, spiked].map((run) => run?.peaks.find((p) => p.ion === j && p.raw !== undefined));
    if (!spiked || !parent || !a || !b) continue;
    const shift = Math.abs(Math.log(a.time / b.time) - parent.alignment.common + spiked.alignment.common);
    if (shift < 0.004)
      for (const run of [parent, spiked]) out.add(JSON.stringify([run.injection.id, check.ion]));
  }
  return out;
}

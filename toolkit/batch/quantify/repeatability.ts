import type { EvaluatedChannel, EvaluatedRun } from "./evaluate-channel.js";
import { traceScatter } from "./trace-scatter.js";

/** How well two injections of one solution agree. */
export interface InjectionRepeatability {
  /** Relative standard deviation of the injected amount. */
  readonly relative: number;
  readonly dof: number;
  /** From how many repeated injections beyond the first of each solution. */
  readonly repeats: number;
  /** Of each ion of the method: what comes into its area from vials and water, standard deviation in signal × samples. */
  readonly traces: readonly number[];
}

/** Relative standard deviation of a loop injection before the batch has shown its own (common practice, no source). */
const TYPICAL = 0.003;
/** Degrees of freedom that the typical value counts for. */
const TYPICAL_DOF = 3;
/** Ions whose area is known no better than this say nothing about the injection. */
const WORST_READING = 0.006;

/**
 * Injection repeatability of a channel from every solution that was injected more than once undiluted or at the
 * same dilution (replicate standards, repeated checks): the scatter of ln(area), averaged over the ions of an
 * injection because all share its volume, with the areas' own scatter taken off, pooled with a typical 0.3 %. An area's
 * own scatter is its noise and what vials and water bring along (`traceScatter`).
 *
 *     s² = (ν₀ s₀² + Σ v² − noise)/(ν₀ + ν),  v the mean deviation of an injection from its group
 */
export function injectionRepeatability(channel: EvaluatedChannel): InjectionRepeatability {
  const groups = new Map<string, EvaluatedRun[]>();
  for (const run of channel.runs) {
    const { kind, solution, dilution } = run.injection;
    if (kind === "blank" || kind === "sample" || kind === "duplicate" || kind.startsWith("matrix spike"))
      continue;
    const key = JSON.stringify([solution, dilution]);
    groups.set(key, [...(groups.get(key) ?? []), run]);
  }
  const traces = channel.ions.map((_, j) => traceScatter(channel, j));
  let squares = 0;
  let dof = 0;
  for (const runs of groups.values()) {
    if (runs.length < 2) continue;
    const found = groupScatter(channel.ions.length, runs, traces);
    squares += found.squares;
    dof += found.dof;
  }
  const total = TYPICAL_DOF + dof;
  return {
    relative: Math.sqrt((TYPICAL_DOF * TYPICAL ** 2 + Math.max(squares, 0)) / total),
    dof: total,
    repeats: dof,
    traces,
  };
}

function groupScatter(
  ions: number,
  runs: readonly EvaluatedRun[],
  traces: readonly number[],
): { squares: number; dof: number } {
  const n = runs.length;
  const deviations = new Float64Array(n);
  let weightSum = 0;
  let noise = 0;
  for (let j = 0; j < ions; j++) {
    const peaks = runs.map((run) => run.peaks.find((p) => p.ion === j && p.raw !== undefined));
    if (peaks.some((p) => p === undefined || !(p.area > 0))) continue;
    const logs = peaks.map((p) => Math.log((p as { area: number }).area));
    const relative = peaks.map((p) => (p ? Math.hypot(p.uNoise, traces[j]) / p.area : 1));
    const worst = Math.max(...relative);
    if (!(worst < WORST_READING)) continue;
    const mean = logs.reduce((a, b) => a + b, 0) / n;
    const weight = 1 / (TYPICAL ** 2 + worst ** 2);
    weightSum += weight;
    for (let i = 0; i < n; i++) deviations[i] += weight * (logs[i] - mean);
    noise += weight * weight * (relative.reduce((sum, r) => sum + r * r, 0) / n) * (n - 1);
  }
  if (weightSum === 0) return { squares: 0, dof: 0 };
  let squares = 0;
  for (const d of deviations) squares += (d / weightSum) ** 2;
  return { squares: squares - noise / weightSum ** 2, dof: n - 1 };
}

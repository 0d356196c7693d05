import type { CheckResult, Injection, SolutionIon } from "../types.js";
import type { IonCurve } from "./calibrate-ions.js";
import type { EvaluatedChannel, EvaluatedRun } from "./evaluate-channel.js";
import { injectedConcentration } from "./injected-concentration.js";
import type { IonLimits } from "./ion-limits.js";
import type { InjectionRepeatability } from "./repeatability.js";

/** Acceptance limits as data, each with where it comes from; every one may be replaced by the quality plan's. */
export interface AcceptanceLimits {
  readonly secondSource: RecoveryLimit;
  readonly continuingCheck: RecoveryLimit;
  readonly fortifiedBlank: RecoveryLimit;
  readonly referenceMaterial: RecoveryLimit;
  readonly matrixSpike: RecoveryLimit;
  /** Largest relative percent difference of duplicates. */
  readonly duplicate: { readonly percent: number; readonly source: string };
  /** Blanks stay below this share of the quantification limit. */
  readonly blank: { readonly shareOfLoq: number; readonly source: string };
  /** Back-calculated standards: all levels, and the lowest. */
  readonly level: { readonly percent: number; readonly lowestPercent: number; readonly source: string };
}

export interface RecoveryLimit {
  readonly low: number;
  readonly high: number;
  readonly source: string;
}

const COMMON = "common practice, no source";

/** Limits in force where the quality plan says nothing else. */
export const DEFAULT_ACCEPTANCE: AcceptanceLimits = {
  secondSource: { low: 90, high: 110, source: `general inorganic default, ${COMMON}` },
  continuingCheck: { low: 90, high: 110, source: "Standard Methods 4110D (90–110 % each 10 injections)" },
  fortifiedBlank: { low: 90, high: 110, source: `general inorganic default, ${COMMON}` },
  referenceMaterial: { low: 90, high: 110, source: COMMON },
  matrixSpike: { low: 80, high: 120, source: `general inorganic default, ${COMMON}` },
  duplicate: { percent: 10, source: `general inorganic default, ${COMMON}` },
  blank: { shareOfLoq: 0.5, source: "Standard Methods 2020 (at most half the reporting level)" },
  level: {
    percent: 10,
    lowestPercent: 20,
    source: "Standard Methods 4020 (±10 %, wider at the lower limit)",
  },
};

interface CheckContext {
  readonly channel: EvaluatedChannel;
  readonly curves: readonly (IonCurve | undefined)[];
  readonly limits: readonly (IonLimits | undefined)[];
  readonly repeatability: InjectionRepeatability;
  readonly accept: AcceptanceLimits;
}

/** All checks of a channel that its worksheet allows, in run order. */
export function qualityChecks(context: CheckContext): CheckResult[] {
  const { channel } = context;
  const out: CheckResult[] = calibrationChecks(context);
  for (const run of channel.runs) {
    const { kind } = run.injection;
    if (kind === "blank") out.push(...blankChecks(context, run));
    else if (kind === "second source")
      out.push(...recoveryChecks(context, run, context.accept.secondSource, ["every result of the ion"]));
    else if (kind === "continuing check")
      out.push(...recoveryChecks(context, run, context.accept.continuingCheck, governedBy(channel, run)));
    else if (kind === "fortified blank")
      out.push(...recoveryChecks(context, run, context.accept.fortifiedBlank, ["every result of the ion"]));
    else if (kind === "reference material")
      out.push(
        ...recoveryChecks(context, run, context.accept.referenceMaterial, ["every result of the ion"]),
      );
    else if (kind === "duplicate") out.push(...duplicateChecks(context, run));
    else if (kind === "matrix spike") out.push(...spikeChecks(context, run));
    else if (kind === "matrix spike duplicate")
      out.push(...spikeChecks(context, run), ...spikePairChecks(context, run));
  }
  return out;
}

function calibrationChecks({ channel, curves, accept }: CheckContext): CheckResult[] {
  return curves.flatMap((fitted): CheckResult[] => {
    if (!fitted) return [];
    return fitted.points
      .filter((p) => p.rejected === undefined && p.concentration > 0)
      .map((p) => {
        const allowed =
          p.concentration === fitted.lowestLevel ? accept.level.lowestPercent : accept.level.percent;
        return {
          check: "calibration level",
          injection: p.injection,
          ion: fitted.ion.ion,
          channel: channel.batch.method.channel,
          found: p.concentration * (1 + p.relativeErrorPercent / 100),
          expected: p.concentration,
          limit: `±${allowed} %`,
          passed: Math.abs(p.relativeErrorPercent) <= allowed,
          source: accept.level.source,
          touches: ["results read near this level"],
        };
      });
  });
}

function blankChecks(
  { channel, curves, limits, repeatability, accept }: CheckContext,
  run: EvaluatedRun,
): CheckResult[] {
  return curves.flatMap((fitted, j): CheckResult[] => {
    const limit = limits[j];
    if (!fitted || !limit) return [];
    const found = injectedConcentration(run, j, fitted, repeatability);
    if (!found) return [];
    const allowed = accept.blank.shareOfLoq * limit.quantificationLimit;
    const at = channel.runs.indexOf(run);
    const previous = channel.runs[at - 1]?.injection;
    return [
      {
        check: "blank",
        injection: run.injection.id,
        ion: fitted.ion.ion,
        channel: channel.batch.method.channel,
        found: found.concentration.value,
        expected: 0,
        limit: `≤ ${formatPlain(allowed)} mg/L`,
        passed: found.concentration.value <= allowed,
        source: accept.blank.source,
        touches: previous
          ? [`results below ten times the blank; carry-over from ${previous.id} is possible`]
          : ["results below ten times the blank"],
      },
    ];
  });
}

function recoveryChecks(
  context: CheckContext,
  run: EvaluatedRun,
  limit: RecoveryLimit,
  touches: readonly string[],
): CheckResult[] {
  const { channel, curves, repeatability } = context;
  return rowsOf(channel, run.injection).flatMap((row): CheckResult[] => {
    const j = channel.ions.findIndex((i) => i.ion === row.ion);
    const fitted = curves[j];
    if (!fitted || !(row.concentration > 0)) return [];
    const expected = row.concentration / run.injection.dilution;
    // A standard below the calibrated range tells nothing about the curve.
    if (expected < fitted.lowestLevel || expected > fitted.highestLevel) return [];
    const found = injectedConcentration(run, j, fitted, repeatability);
    if (!found) return [];
    const recovery = (100 * found.concentration.value) / expected;
    return [
      {
        check: run.injection.kind,
        injection: run.injection.id,
        ion: row.ion,
        channel: channel.batch.method.channel,
        found: found.concentration.value,
        expected,
        limit: `${limit.low}–${limit.high} %`,
        passed: recovery >= limit.low && recovery <= limit.high,
        source: limit.source,
        touches,
      },
    ];
  });
}

function rowsOf(channel: EvaluatedChannel, injection: Injection): readonly SolutionIon[] {
  return channel.batch.solutions.filter((s) => s.solution === injection.solution);
}

/** Samples between the neighbouring continuing checks: what a failed one touches. */
function governedBy(channel: EvaluatedChannel, run: EvaluatedRun): readonly string[] {
  const at = channel.runs.indexOf(run);
  const isCheck = (i: number) => channel.runs[i].injection.kind === "continuing check";
  let from = at - 1;
  while (from >= 0 && !isCheck(from)) from--;
  let to = at + 1;
  while (to < channel.runs.length && !isCheck(to)) to++;
  const samples = channel.runs
    .slice(from + 1, to)
    .flatMap((r) => (r.injection.kind === "sample" ? [r.injection.solution] : []));
  return [...new Set(samples)];
}

/** Concentration in the undiluted preparation, mg/L, and its lower bound for a fair comparison. */
function prepared(context: CheckContext, run: EvaluatedRun, j: number): number | undefined {
  const fitted = context.curves[j];
  if (!fitted) return undefined;
  const found = injectedConcentration(run, j, fitted, context.repeatability);
  if (!found || found.concentration.value > fitted.highestLevel) return undefined;
  return found.concentration.value * run.injection.dilution;
}

function parentOf(context: CheckContext, run: EvaluatedRun): EvaluatedRun | undefined {
  return context.channel.runs.find((r) => r.injection.id === run.injection.parent);
}

function duplicateChecks(context: CheckContext, run: EvaluatedRun): CheckResult[] {
  const parent = parentOf(context, run);
  if (!parent) return [];
  const { channel, limits, accept } = context;
  return channel.ions.flatMap((method, j): CheckResult[] => {
    const [first, second] = [prepared(context, parent, j), prepared(context, run, j)];
    const loq = limits[j]?.quantificationLimit;
    if (first === undefined || second === undefined || loq === undefined) return [];
    const quantification = loq * run.injection.dilution;
    if (Math.max(first, second) < quantification) return [];
    const difference = (200 * Math.abs(first - second)) / (first + second);
    const nearLimit = Math.max(first, second) < 5 * quantification;
    return [
      {
        check: "duplicate",
        injection: run.injection.id,
        ion: method.ion,
        channel: channel.batch.method.channel,
        found: second,
        expected: first,
        limit: nearLimit
          ? `difference ≤ ${formatPlain(quantification)} mg/L`
          : `difference ≤ ${accept.duplicate.percent} %`,
        passed: nearLimit
          ? Math.abs(first - second) <= quantification
          : difference <= accept.duplicate.percent,
        source: nearLimit
          ? "below five times the quantification limit the difference itself is judged; common practice, no source"
          : accept.duplicate.source,
        touches: [parent.injection.solution],
      },
    ];
  });
}

function spikeChecks(context: CheckContext, run: EvaluatedRun): CheckResult[] {
  const parent = parentOf(context, run);
  if (!parent) return [];
  const { channel, accept } = context;
  return rowsOf(channel, run.injection).flatMap((row): CheckResult[] => {
    const j = channel.ions.findIndex((i) => i.ion === row.ion);
    if (j < 0 || !(row.concentration > 0)) return [];
    const [native, spiked] = [prepared(context, parent, j), prepared(context, run, j)];
    if (native === undefined || spiked === undefined) return [];
    // A spike much smaller than what was there already says nothing: its recovery is all noise.
    if (row.concentration < native / 4) return [];
    const recovery = (100 * (spiked - native)) / row.concentration;
    return [
      {
        check: run.injection.kind,
        injection: run.injection.id,
        ion: row.ion,
        channel: channel.batch.method.channel,
        found: spiked - native,
        expected: row.concentration,
        limit: `${accept.matrixSpike.low}–${accept.matrixSpike.high} %`,
        passed: recovery >= accept.matrixSpike.low && recovery <= accept.matrixSpike.high,
        source: accept.matrixSpike.source,
        touches: [parent.injection.solution],
      },
    ];
  });
}

/** The two spiked portions against each other. */
function spikePairChecks(context: CheckContext, run: EvaluatedRun): CheckResult[] {
  const { channel, accept } = context;
  const first = channel.runs.find(
    (r) => r.injection.kind === "matrix spike" && r.injection.parent === run.injection.parent,
  );
  if (!first) return [];
  return rowsOf(channel, run.injection).flatMap((row): CheckResult[] => {
    const j = channel.ions.findIndex((i) => i.ion === row.ion);
    const [a, b] = j < 0 ? [undefined, undefined] : [prepared(context, first, j), prepared(context, run, j)];
    if (a === undefined || b === undefined || !(a + b > 0)) return [];
    const difference = (200 * Math.abs(a - b)) / (a + b);
    return [
      {
        check: "matrix spike pair",
        injection: run.injection.id,
        ion: row.ion,
        channel: channel.batch.method.channel,
        found: b,
        expected: a,
        limit: `difference ≤ ${accept.duplicate.percent} %`,
        passed: difference <= accept.duplicate.percent,
        source: accept.duplicate.source,
        touches: [parentOf(context, run)?.injection.solution ?? ""],
      },
    ];
  });
}

function formatPlain(value: number): string {
  return Number(value.toPrecision(3)).toString();
}

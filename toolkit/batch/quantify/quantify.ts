import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { Batch, EvaluatedTrace, IonCalibration, Results, SampleResult, UnknownPeak } from "../types.js";
import { aboutUnknowns } from "../unknowns/about-unknowns.js";
import { balanceSamples } from "./balance-samples.js";
import { blankWatchChecks } from "./blank-watch-checks.js";
import { curveOf, type IonCurve } from "./calibrate-ions.js";
import { confirmedBySpike } from "./confirm-by-spike.js";
import { type EvaluatedChannel, evaluateChannel } from "./evaluate-channel.js";
import { flagByChecks } from "./flag-by-checks.js";
import { type IonLimitLadder, ionLimits } from "./ion-limits.js";
import { type LimitOptions, limitOptions, type ResolvedLimitOptions } from "./limit-options.js";
import { type CalibrationChange, withChanges } from "./method-changes.js";
import { groupUnknowns } from "./name-unknowns.js";
import { peakTables } from "./peak-table.js";
import { type AcceptanceLimits, DEFAULT_ACCEPTANCE, qualityChecks } from "./quality-checks.js";
import { injectionRepeatability } from "./repeatability.js";
import { makeResults } from "./results.js";
import { notMeasuredResults, sampleResults } from "./sample-results.js";
import { unknownCharges, unknownPeaks } from "./unknown-peaks.js";

export interface QuantifyOptions {
  /** Called as the work goes on, for a progress line. */
  readonly onProgress?: (done: number, of: number, what: string) => void;
  /** Acceptance limits of the quality plan, where they differ from the defaults. */
  readonly accept?: Partial<AcceptanceLimits>;
  /** Model, weighting or range of single ions, where this evaluation departs from batch.json, by ion. */
  readonly calibration?: Readonly<Record<string, CalibrationChange>>;
  /** By which limits results are judged and printed, where not by the default ones. */
  readonly limits?: LimitOptions;
}

/** Everything one channel yields before the channels meet. */
interface ChannelOutcome {
  readonly channel: EvaluatedChannel;
  readonly calibrations: readonly IonCalibration[];
  readonly samples: readonly SampleResult[];
  readonly unknowns: readonly UnknownPeak[];
  readonly rest: Pick<Results, "checks" | "peaks" | "traces">;
}

/**
 * From raw signals to sample results: baseline, peaks, names, areas, calibrations, back-calculation, limits,
 * checks, and, where both channels are given, the charge balance.
 *
 * Concentrations in mg/L, areas in µS/cm·min, times in min; every result carries its uncertainty by named
 * sources (noise, integration, injection, curve, stock, standard, dilution, preparation), so that values sharing
 * a source stay correlated through to the balance.
 *
 * @param batches one channel, or the two channels of one investigation
 * @throws IonbookError `no-batch`, `not-a-batch`, `unknown-option`, `no-calibration`, `same-channel`,
 *   `not-conductivity`; for `calibration` and `limits` `not-calibrated`, `unknown-ion` and `bad-option`; for `limits`
 *   `unknown-limit`, `limit-not-computable`; and what the rooms below throw
 */
export async function quantify(
  batches: Batch | readonly Batch[],
  options: QuantifyOptions = {},
): Promise<Results> {
  requireKnownOptions(
    options,
    { onProgress: true, accept: true, calibration: true, limits: true },
    "quantify",
  );
  const given = batchList(batches);
  refuseUnfit(given);
  const list = withChanges(given, options.calibration ?? {});
  const limitsOf = limitOptions(list, options.limits ?? {});
  const accept = { ...DEFAULT_ACCEPTANCE, ...options.accept };
  const total = list.reduce((sum, b) => sum + b.injections.length, 0);
  const outcomes: ChannelOutcome[] = [];
  let done = 0;
  for (const batch of list) {
    options.onProgress?.(done, total, `${batch.method.channel} channel`);
    const before = done;
    const onRun = (runs: number) =>
      options.onProgress?.(before + runs, total, `${batch.method.channel} channel`);
    outcomes.push(await channelOutcome(batch, accept, limitsOf, onRun));
    done += batch.injections.length;
  }
  options.onProgress?.(done, total, "balance and report");
  return assemble(list, outcomes);
}

/** @throws IonbookError "not-a-batch" for whatever `openBatch` has not given */
function batchList(batches: Batch | readonly Batch[]): readonly Batch[] {
  const list: readonly unknown[] = Array.isArray(batches) ? batches : [batches];
  for (const given of list) {
    if (typeof given === "object" && given !== null && "kind" in given && given.kind === "batch") continue;
    const advice =
      given instanceof Promise
        ? "this batch is still being read: put await before openBatch, quantify(await openBatch(folder))"
        : `quantify needs an opened batch, not ${typeof given === "string" ? `the text "${given}"` : String(given)}: ` +
          "quantify(await openBatch(folder))";
    throw new IonbookError("not-a-batch", advice);
  }
  return list as readonly Batch[];
}

function refuseUnfit(batches: readonly Batch[]): void {
  if (batches.length === 0)
    throw new IonbookError("no-batch", "quantify needs at least one batch: open a folder with openBatch");
  const seen = new Set<string>();
  for (const batch of batches) {
    const { channel } = batch.method;
    if (seen.has(channel)) {
      throw new IonbookError(
        "same-channel",
        `two ${channel} batches were given; one investigation is one ${channel} batch and one of the other channel`,
        { file: batch.folder },
      );
    }
    seen.add(channel);
    for (const c of batch.chromatograms.values()) {
      if (c.signalUnit !== "µS/cm") {
        throw new IonbookError(
          "not-conductivity",
          `${c.id} is in ${c.signalUnit}; quantify works on conductivity: give the signal in nS/cm, µS/cm or mS/cm`,
          { file: c.source ?? c.id },
        );
      }
    }
    if (!batch.injections.some((i) => i.kind === "calibration")) {
      throw new IonbookError(
        "no-calibration",
        `no injection of kind "calibration" in ${batch.folder}: add the standards to worksheet.csv and solutions.csv`,
        { file: `${batch.folder}/worksheet.csv` },
      );
    }
  }
}

async function channelOutcome(
  batch: Batch,
  accept: AcceptanceLimits,
  limitsOf: (ionName: string) => ResolvedLimitOptions,
  onRun: (done: number) => void,
): Promise<ChannelOutcome> {
  const channel = await evaluateChannel(batch, onRun);
  const repeatability = injectionRepeatability(channel);
  const curves = channel.ions.map((_, j) => curveOf(channel, j, repeatability));
  const limits = curves.map((fitted, j) =>
    fitted ? ionLimits(channel, j, fitted, repeatability, limitsOf(fitted.ion.ion)) : undefined,
  );
  const checks = [
    ...qualityChecks({ channel, curves, limits, repeatability, accept }),
    ...blankWatchChecks(channel, limits),
  ];
  const groups = groupUnknowns(channel, channel.stretch.voidDip === undefined ? 1 : 2);
  const traces = peakTables(channel, groups, repeatability, confirmedBySpike(channel, checks));
  const samples = flagByChecks(
    [...sampleResults(channel, curves, limits, repeatability), ...notMeasuredResults(channel)],
    checks,
  );
  return {
    channel,
    calibrations: curves.flatMap((fitted, j) => calibrationRow(channel, fitted, limits[j], accept)),
    samples,
    unknowns: aboutUnknowns(
      unknownPeaks(channel, groups, curves, repeatability),
      batch,
      traces,
      channel.references.filter(({ readings }) => readings > 0),
    ),
    rest: {
      checks,
      peaks: traces.flatMap((t) => t.peaks),
      traces: new Map(traces.map((t) => [t.injection.id, t])),
    },
  };
}

function calibrationRow(
  channel: EvaluatedChannel,
  fitted: IonCurve | undefined,
  limits: IonLimitLadder | undefined,
  accept: AcceptanceLimits,
): IonCalibration[] {
  if (!fitted || !limits) return [];
  return [
    {
      kind: "ion-calibration",
      ion: fitted.ion.ion,
      channel: channel.batch.method.channel,
      model: fitted.ion.model,
      weighting: fitted.ion.weighting,
      curve: fitted.curve,
      points: fitted.points,
      low: fitted.lowestLevel,
      high: fitted.highestLevel,
      criticalValue: limits.criticalValue,
      lod: limits.detectionLimit,
      loq: limits.quantificationLimit,
      mdl: limits.mdl,
      limitDefinition: limits.definition,
      limitLadder: limits.ladder,
      blankWatch: limits.ladder.watch,
      verdict: verdictOf(fitted, accept.level),
    },
  ];
}

function verdictOf(fitted: IonCurve, limits: AcceptanceLimits["level"]): string {
  const against: string[] = [];
  for (const p of fitted.points) {
    if (p.rejected !== undefined) continue;
    const allowed = p.concentration === fitted.lowestLevel ? limits.lowestPercent : limits.percent;
    if (Math.abs(p.relativeErrorPercent) > allowed) {
      against.push(`level ${p.solution} reads ${p.relativeErrorPercent.toFixed(1)} % off`);
    }
  }
  const { chiSquared, inflation } = fitted.curve.covarianceBasis;
  if (inflation > 1.5 && chiSquared !== undefined)
    against.push(
      `the points scatter more than noise, injection and standards explain (χ² ${chiSquared.toFixed(0)} on ${fitted.curve.dof})`,
    );
  return against.length === 0 ? "accepted" : against.join("; ");
}

function assemble(batches: readonly Batch[], outcomes: readonly ChannelOutcome[]): Results {
  const samples = oneRowEach(outcomes);
  const unknowns = outcomes.flatMap((o) => o.unknowns);
  const charges = unknownCharges(unknowns, samples, batches);
  return makeResults({
    kind: "results",
    title: commonTitle(batches.map((b) => b.method.title)),
    invented: batches.some((b) => /invented/i.test(String(b.method.other.remark ?? ""))),
    batches,
    samples,
    peaks: outcomes.flatMap((o) => o.rest.peaks),
    calibrations: outcomes.flatMap((o) => o.calibrations),
    checks: outcomes.flatMap((o) => o.rest.checks),
    balances: balanceSamples(batches, samples, charges),
    unknowns,
    traces: allTraces(outcomes),
  });
}

/** Traces of all channels by injection id; where both folders use one id, the later is filed as "cation A001". */
function allTraces(outcomes: readonly ChannelOutcome[]): Results["traces"] {
  const out = new Map<string, EvaluatedTrace>();
  for (const { rest } of outcomes) {
    for (const [id, trace] of rest.traces) out.set(out.has(id) ? `${trace.channel} ${id}` : id, trace);
  }
  return out;
}

/** What the titles of the channels have in common, at least two words; else the first one. */
function commonTitle(titles: readonly string[]): string {
  const [first = "", ...others] = titles;
  let length = first.length;
  for (const other of others) while (!other.startsWith(first.slice(0, length))) length--;
  const common = first.slice(0, length).replace(/[\s:,;(–-]+$/, "");
  return (common.includes(" ") ? common : first) || "Investigation";
}

/** Every sample and ion once: a measured row before a "not measured" one, and one such row where a channel is missing. */
function oneRowEach(outcomes: readonly ChannelOutcome[]): SampleResult[] {
  const rows = new Map<string, SampleResult>();
  const key = (sample: string, ionName: string) => JSON.stringify([sample, ionName]);
  for (const { samples } of outcomes) {
    for (const row of samples) {
      const at = key(row.sample, row.ion);
      const before = rows.get(at);
      if (!before || (before.value === undefined && row.value !== undefined)) rows.set(at, row);
    }
  }
  const known = [...new Map(outcomes.flatMap((o) => o.samples.map((r) => [r.sample, r.unit] as const)))];
  for (const [sample, unit] of known) {
    for (const { channel } of outcomes) {
      for (const method of channel.ions) {
        const at = key(sample, method.ion);
        if (rows.has(at)) continue;
        rows.set(at, {
          sample,
          ion: method.ion,
          channel: channel.batch.method.channel,
          value: undefined,
          unit,
          status: "not measured",
          detectionLimit: undefined,
          quantificationLimit: undefined,
          dilution: undefined,
          injection: undefined,
          flags: [`not injected on the ${channel.batch.method.channel} channel`],
        });
      }
    }
  }
  const order = known.map(([sample]) => sample);
  return [...rows.values()].sort((a, b) => order.indexOf(a.sample) - order.indexOf(b.sample));
}

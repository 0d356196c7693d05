import { ion } from "../../ions/ion-table.js";
import { median } from "../../numeric/robust.js";
import { integratePeaks, type MeasuredPeak, type PlacedPeak } from "../../peaks/integration/integrate.js";
import { type BlankNoise, blankNoise } from "../../signal/blank-noise.js";
import type { Batch, Channel, Injection, MethodIon } from "../types.js";
import { type FinalTrace, finalTrace, type Occupied } from "./final-baseline.js";
import { firstWidths } from "./first-widths.js";
import { type IonShape, learnShape } from "./ion-shapes.js";
import {
  cutTraces,
  evaluatedStretch,
  type PreparedTrace,
  prepareTraces,
  type Stretch,
} from "./prepared-trace.js";
import { type RawPeak, rawPeaks } from "./raw-peaks.js";
import {
  type Alignment,
  expectedTime,
  firstReferences,
  followDrift,
  learnReferences,
  type NamedRun,
  nameRun,
  type ReferenceTime,
  UNALIGNED,
} from "./retention.js";
import { type WidthCurve, widthCurve } from "./width-curve.js";

/** One peak of one injection, measured, with the name it got. */
export interface EvaluatedPeak extends MeasuredPeak {
  readonly raw: RawPeak | undefined;
  /** Index into the method's ions; undefined for a peak without a name. */
  readonly ion: number | undefined;
  /** Apex, min. */
  readonly time: number;
  /** Standard deviations from the expected time; undefined for absent or unnamed peaks. */
  readonly deviation: number | undefined;
  /** Broad: a system peak by shape. */
  readonly broad: boolean;
}

/** One injection after all its peaks were measured. */
export interface EvaluatedRun {
  readonly injection: Injection;
  readonly channel: Channel;
  readonly trace: PreparedTrace;
  readonly alignment: Alignment;
  readonly peaks: readonly EvaluatedPeak[];
}

/** A channel evaluated up to peak areas. */
export interface EvaluatedChannel {
  readonly batch: Batch;
  readonly ions: readonly MethodIon[];
  readonly stretch: Stretch;
  readonly widths: WidthCurve;
  readonly references: readonly ReferenceTime[];
  readonly shapes: readonly IonShape[];
  readonly runs: readonly EvaluatedRun[];
}

/** Kinds whose peaks are known to be the method's ions: they teach retention and shape. */
const TEACHERS: ReadonlySet<string> = new Set([
  "calibration",
  "second source",
  "continuing check",
  "fortified blank",
]);
/** Blank slices within this distance of a peak are preferred for its noise, min. */
const NOISE_REACH = 1.5;

/** Runs measured between two breaths, in which a progress line and an interrupt are served. */
const RUNS_PER_BREATH = 4;

/**
 * Goes from the raw traces of one channel to named, measured peaks.
 *
 * @param onRun called with the number of runs measured so far
 */
export async function evaluateChannel(
  batch: Batch,
  onRun: (done: number) => void = () => {},
): Promise<EvaluatedChannel> {
  const ions = [...batch.method.ions].sort((a, b) => a.retentionTime - b.retentionTime);
  const stretch = evaluatedStretch(batch);
  const cuts = cutTraces(batch, stretch);
  const widths = firstWidths(cuts, ions);
  const { traces, humps, blankSubtracted } = prepareTraces(cuts, widths, ions);
  const raw = traces.map((trace) => rawPeaks(trace, widths, humps));
  const { references, named } = nameAll(batch, ions, traces, raw);
  const shapes = shapesOf(ions, traces, raw, named, widths);
  const finer = widthCurve(
    ions.map((i, j) => ({
      time: i.retentionTime,
      sigma: shapes[j].sigma * Math.sqrt(1 + (shapes[j].tau / shapes[j].sigma) ** 2 * 0.3),
    })),
  );
  const noise = noiseOf(traces, raw, finer, blankSubtracted);
  const runs: EvaluatedRun[] = [];
  for (const [r, trace] of traces.entries()) {
    const occupied = occupiedBy(raw[r], named[r], shapes, finer);
    const final = finalTrace(trace, occupied, finer.widest);
    runs.push(
      measureRun(batch.method.channel, final, raw[r], named[r], ions, references, shapes, finer, noise),
    );
    if (runs.length % RUNS_PER_BREATH !== 0) continue;
    onRun(runs.length);
    await new Promise((resolve) => setImmediate(resolve));
  }
  return { batch, ions, stretch, widths: finer, references, shapes, runs };
}

function nameAll(
  batch: Batch,
  ions: readonly MethodIon[],
  traces: readonly PreparedTrace[],
  raw: readonly (readonly RawPeak[])[],
) {
  let references = firstReferences(ions, (name) => ion(name).charge);
  const nameable = raw.map((peaks) => peaks.filter((p) => !p.broad));
  const teaching = batch.injections.map((i) => TEACHERS.has(i.kind));
  let named: NamedRun[] = [];
  for (let turn = 0; turn < 3; turn++) {
    let prior = UNALIGNED;
    let current: readonly ReferenceTime[] = references;
    named = nameable.map((peaks, r) => {
      if (turn < 2 && !teaching[r]) return { alignment: prior, names: peaks.map(() => undefined) };
      const run = nameRun(peaks, current, ions, prior);
      if (run.names.some((n) => n !== undefined)) prior = run.alignment;
      if (turn === 2) current = followDrift(references, current, peaks, run);
      return run;
    });
    if (turn < 2) {
      const runs = named.flatMap((run, r) =>
        teaching[r] ? [{ injection: traces[r].injection, peaks: nameable[r], named: run }] : [],
      );
      references = learnReferences(references, runs);
    }
  }
  // Names are handed back on the full list of peaks, broad ones unnamed.
  const full = raw.map((peaks, r) => {
    let k = 0;
    return {
      alignment: named[r].alignment,
      names: peaks.map((p) => (p.broad ? undefined : named[r].names[k++])),
    };
  });
  return { references, named: full };
}

function shapesOf(
  ions: readonly MethodIon[],
  traces: readonly PreparedTrace[],
  raw: readonly (readonly RawPeak[])[],
  named: readonly NamedRun[],
  widths: WidthCurve,
): IonShape[] {
  const learnt = ions.map((_, j) => {
    const standards = traces.flatMap((trace, r) => {
      const at = TEACHERS.has(trace.injection.kind) ? named[r].names.indexOf(j) : -1;
      return at < 0 ? [] : [{ trace, peaks: raw[r], at }];
    });
    return learnShape(standards, widths);
  });
  const known = learnt.filter((s) => s !== undefined);
  const tails = known.map((s) => s.tau / s.sigma);
  const sums = known.map((s) => s.sumPerFit).filter((s) => Number.isFinite(s));
  const typicalSum = sums.length > 0 ? median(sums) : 1;
  return ions.map((i, j) => {
    const shape = learnt[j];
    if (!shape) {
      const sigma = widths.at(i.retentionTime);
      const tail = tails.length > 0 ? median(tails) : 0.3;
      return { sigma, tau: tail * sigma, sumPerFit: typicalSum, readings: 0 };
    }
    return Number.isFinite(shape.sumPerFit) ? shape : { ...shape, sumPerFit: typicalSum };
  });
}

/** Where peaks stand in one run. */
function occupiedBy(
  raw: readonly RawPeak[],
  named: NamedRun,
  shapes: readonly IonShape[],
  widths: WidthCurve,
): Occupied[] {
  return raw.flatMap((peak, i): Occupied[] => {
    const j = named.names[i];
    if (peak.broad) return [];
    if (j !== undefined)
      return [{ time: peak.time, height: peak.height, sigma: shapes[j].sigma, tau: shapes[j].tau }];
    const sigma = widths.at(peak.time);
    return [{ time: peak.time, height: peak.height, sigma, tau: 0.3 * sigma }];
  });
}

/** Peak-free blanks for the noise; all runs' peak-free stretches where there are fewer than two blanks. */
function noiseOf(
  traces: readonly PreparedTrace[],
  raw: readonly (readonly RawPeak[])[],
  widths: WidthCurve,
  blankSubtracted: boolean,
): BlankNoise {
  const blanks = traces.flatMap((t, r) => (t.injection.kind === "blank" ? [r] : []));
  const chosen = blanks.length >= 2 ? blanks : traces.map((_, r) => r);
  const usable = chosen.map((r) => {
    const { corrected, interval } = traces[r];
    const mask = new Uint8Array(corrected.length).fill(1);
    for (const peak of raw[r]) {
      const sigma = widths.at(peak.time) / interval;
      mask.fill(0, Math.max(0, Math.round(peak.index - 5 * sigma)), Math.round(peak.index + 8 * sigma));
    }
    return mask;
  });
  const shrinkage = blankSubtracted && blanks.length >= 2 ? 1 - 1 / blanks.length : 1;
  // Under a peak the record is replaced by its baseline: what stands there is no noise, but neighbours' baselines lean on it.
  const records = chosen.map((r, k) => {
    const { own, corrected } = traces[r];
    return own.map((value, i) => (usable[k][i] ? value : value - corrected[i]));
  });
  return blankNoise(records, usable, shrinkage);
}

function measureRun(
  channel: Channel,
  trace: FinalTrace,
  raw: readonly RawPeak[],
  named: NamedRun,
  ions: readonly MethodIon[],
  references: readonly ReferenceTime[],
  shapes: readonly IonShape[],
  widths: WidthCurve,
  noise: BlankNoise,
): EvaluatedRun {
  const { interval, start, corrected } = trace;
  const typicalTail = median(shapes.map((s) => s.tau / s.sigma));
  const typicalSum = median(shapes.map((s) => s.sumPerFit));
  const placed: (PlacedPeak & {
    readonly raw: RawPeak | undefined;
    readonly ion: number | undefined;
    readonly time: number;
  })[] = [];
  raw.forEach((peak, i) => {
    const j = named.names[i];
    const shape = j === undefined ? undefined : shapes[j];
    const sigma = (shape?.sigma ?? widths.at(peak.time)) / interval;
    const tau = shape ? shape.tau / interval : typicalTail * sigma;
    placed.push({
      apex: peak.index,
      sigma,
      tau,
      present: true,
      sumPerFit: shape?.sumPerFit ?? typicalSum,
      raw: peak,
      ion: j,
      time: peak.time,
    });
  });
  ions.forEach((_, j) => {
    if (named.names.includes(j)) return;
    const time = expectedTime(references[j], named.alignment, 0);
    const apex = (time - start) / interval;
    if (apex < 1 || apex > corrected.length - 2) return;
    const shape = shapes[j];
    placed.push({
      apex,
      sigma: shape.sigma / interval,
      tau: shape.tau / interval,
      present: false,
      sumPerFit: shape.sumPerFit,
      raw: undefined,
      ion: j,
      time,
    });
  });
  placed.sort((a, b) => a.apex - b.apex);
  const measured = integratePeaks(corrected, placed, {
    baseline: trace.masked,
    noise,
    white: trace.noise,
    reach: Math.round(NOISE_REACH / interval),
  });
  const peaks = placed.map(
    (p, i): EvaluatedPeak => ({
      ...measured[i],
      raw: p.raw,
      ion: p.ion,
      time: p.time,
      deviation:
        p.raw && p.ion !== undefined
          ? (p.time - expectedTime(references[p.ion], named.alignment, p.raw.area)) /
            (references[p.ion].scatter * p.time)
          : undefined,
      broad: p.raw?.broad ?? false,
    }),
  );
  return { injection: trace.injection, channel, trace, alignment: named.alignment, peaks };
}

import { peakResolution } from "../../peaks/figures/peak-figures.js";
import type { EvaluatedTrace, PeakIdentity, PeakResult } from "../types.js";
import { areaOf } from "./calibrate-ions.js";
import type { EvaluatedChannel, EvaluatedPeak, EvaluatedRun } from "./evaluate-channel.js";
import { type EvaluatedRecord, shapeOfPeak } from "./figures-of-peak.js";
import type { UnknownGroup } from "./name-unknowns.js";
import type { InjectionRepeatability } from "./repeatability.js";

/** A peak within this many standard deviations of its ion is supported by retention, not only inside a window. */
const SUPPORTED_WITHIN = 3;

/** Peaks of every run with their names, and the traces to draw. */
export function peakTables(
  channel: EvaluatedChannel,
  groups: readonly UnknownGroup[],
  repeatability: InjectionRepeatability,
  confirmed: ReadonlySet<string>,
): EvaluatedTrace[] {
  const names = new Map<EvaluatedPeak, UnknownGroup>();
  for (const group of groups) for (const { peak } of group.members) names.set(peak, group);
  return channel.runs.map((run) => traceOf(channel, run, names, repeatability, confirmed));
}

function traceOf(
  channel: EvaluatedChannel,
  run: EvaluatedRun,
  names: ReadonlyMap<EvaluatedPeak, UnknownGroup>,
  repeatability: InjectionRepeatability,
  confirmed: ReadonlySet<string>,
): EvaluatedTrace {
  const { trace } = run;
  const shown = run.peaks.filter((p) => p.raw !== undefined && (p.ion !== undefined || names.has(p)));
  const baseline = new Float64Array(trace.chromatogram.time.length).fill(Number.NaN);
  baseline.set(trace.baseline, trace.offset);
  const placed = shown.map((p) => {
    const group = names.get(p);
    const name = p.ion === undefined ? (group?.name ?? "") : channel.ions[p.ion].ion;
    return {
      injection: run.injection.id,
      ion: name,
      retentionTime: p.time,
      area: areaOf(run, p, name, repeatability),
      height: p.height,
      signalToNoise: p.height / trace.noise,
      identity: group ? (group.system ? "system" : "unknown") : identityOf(channel, run, p, confirmed),
      start: trace.start + p.first * trace.interval,
      end: trace.start + p.last * trace.interval,
      rule: p.rule,
      flags: p.flags,
    } as const;
  });
  const record = {
    time: trace.chromatogram.time,
    signal: trace.chromatogram.signal,
    baseline,
    components: shown.map((p, i) => ({
      ion: placed[i].ion,
      first: trace.offset + p.first,
      values: p.component,
    })),
    noise: trace.noise,
  };
  const measured = placed.map((peak) => ({ ...peak, ...shapeOf(record, peak) }));
  const peaks = measured.map((peak, i) => beside(peak, measured[i + 1]));
  const system = voidDip(channel, run, repeatability);
  return {
    kind: "trace",
    injection: run.injection,
    channel: channel.batch.method.channel,
    ...record,
    peaks: system ? [system, ...peaks] : peaks,
  };
}

function identityOf(
  channel: EvaluatedChannel,
  run: EvaluatedRun,
  p: EvaluatedPeak,
  confirmed: ReadonlySet<string>,
): PeakIdentity {
  const method = channel.ions[p.ion as number];
  if (confirmed.has(JSON.stringify([run.injection.id, method.ion]))) return "confirmed";
  const rival = run.peaks.some(
    (q) =>
      q !== p &&
      q.raw !== undefined &&
      q.ion === undefined &&
      !q.broad &&
      Math.abs(q.time - p.time) < 0.006 * p.time,
  );
  if (rival) return "ambiguous";
  return Math.abs(p.deviation ?? Number.POSITIVE_INFINITY) <= SUPPORTED_WITHIN ? "supported" : "tentative";
}

/** At this signal to noise a width is known to about 3 %; below it is left out. */
const LEAST_FOR_WIDTH = 20;

/** Width at half height (min) and symmetry factor; undefined where a neighbour or the noise hides a flank. */
function shapeOf(
  record: EvaluatedRecord,
  peak: Omit<PeakResult, "widthHalf" | "tailing" | "resolutionNext">,
): Pick<PeakResult, "widthHalf" | "tailing"> {
  const figures = peak.signalToNoise < LEAST_FOR_WIDTH ? undefined : shapeOfPeak(record, peak);
  const known = (value: number | undefined) => (Number.isFinite(value) ? value : undefined);
  return { widthHalf: known(figures?.widthAtHalfHeight), tailing: known(figures?.tailing) };
}

/** The peak with its resolution from the next one; undefined where a width is not shown. */
function beside<P extends Omit<PeakResult, "resolutionNext">>(peak: P, next: P | undefined) {
  const [first, second] = [peak, next].map(
    (each) => each?.widthHalf && { retentionTime: each.retentionTime, widthAtHalfHeight: each.widthHalf },
  );
  return { ...peak, resolutionNext: first && second ? peakResolution(first, second) : undefined };
}

/** The dip of the unretained plug as the first system peak: its area between hold-up time and the end of the void. */
function voidDip(
  channel: EvaluatedChannel,
  run: EvaluatedRun,
  repeatability: InjectionRepeatability,
): PeakResult | undefined {
  const { voidDip: time, voidEnd } = channel.stretch;
  if (time === undefined) return undefined;
  const { chromatogram, interval, noise } = run.trace;
  const first = Math.max(0, Math.round((2 * time - voidEnd - chromatogram.time[0]) / interval));
  const last = Math.min(
    chromatogram.time.length - 1,
    Math.round((voidEnd - chromatogram.time[0]) / interval),
  );
  if (last - first < 4) return undefined;
  const [left, right] = [chromatogram.signal[first], chromatogram.signal[last]];
  let area = 0;
  let lowest = 0;
  let at = first;
  for (let i = first; i <= last; i++) {
    const y = chromatogram.signal[i] - left - ((right - left) * (i - first)) / (last - first);
    area += y;
    if (y < lowest) {
      lowest = y;
      at = i;
    }
  }
  const uNoise = noise * Math.sqrt(last - first);
  const peak = { area, uNoise, uIntegration: 0.02 * Math.abs(area), ion: undefined };
  return {
    injection: run.injection.id,
    ion: "system-1",
    retentionTime: chromatogram.time[at],
    area: areaOf(run, peak, "system-1", repeatability),
    height: lowest,
    widthHalf: undefined,
    tailing: undefined,
    resolutionNext: undefined,
    signalToNoise: Math.abs(lowest) / noise,
    identity: "system",
    start: chromatogram.time[first],
    end: chromatogram.time[last],
    rule: "summation",
    flags: ["void dip"],
  };
}

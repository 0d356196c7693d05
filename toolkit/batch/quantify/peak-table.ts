import { widthAtHalf } from "../../signal/peak-width.js";
import type { EvaluatedTrace, PeakIdentity, PeakResult } from "../types.js";
import { areaOf } from "./calibrate-ions.js";
import type { EvaluatedChannel, EvaluatedPeak, EvaluatedRun } from "./evaluate-channel.js";
import type { UnknownGroup } from "./name-unknowns.js";
import { smoothAround } from "./raw-peaks.js";
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
  const peaks = shown.map((p, i): PeakResult => {
    const group = names.get(p);
    const name = p.ion === undefined ? (group?.name ?? "") : channel.ions[p.ion].ion;
    return {
      injection: run.injection.id,
      ion: name,
      retentionTime: p.time,
      area: areaOf(run, p, name, repeatability),
      height: p.height,
      widthHalf: halfWidth(run, p),
      tailing: tailing(run, p),
      resolutionNext: resolution(run, p, shown[i + 1]),
      signalToNoise: p.height / trace.noise,
      identity: group ? (group.system ? "system" : "unknown") : identityOf(channel, run, p, confirmed),
      start: trace.start + p.first * trace.interval,
      end: trace.start + p.last * trace.interval,
      rule: p.rule,
      flags: p.flags,
    };
  });
  const system = voidDip(channel, run, repeatability);
  const baseline = new Float64Array(trace.chromatogram.time.length).fill(Number.NaN);
  baseline.set(trace.baseline, trace.offset);
  return {
    kind: "trace",
    injection: run.injection,
    channel: channel.batch.method.channel,
    time: trace.chromatogram.time,
    signal: trace.chromatogram.signal,
    baseline,
    peaks: system ? [system, ...peaks] : peaks,
    components: shown.map((p, i) => ({
      ion: peaks[i].ion,
      first: trace.offset + p.first,
      values: p.component,
    })),
    noise: trace.noise,
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

/** Width at half height, min, on the corrected signal; undefined where a neighbour or the noise hides a flank. */
function halfWidth(run: EvaluatedRun, p: EvaluatedPeak): number | undefined {
  const { corrected, interval, noise } = run.trace;
  if (!p.raw || p.height < 10 * noise) return undefined;
  const { from, values } = smoothAround(curveOfPeak(corrected, p), p.raw.index, (p.last - p.first) / 12);
  const width = widthAtHalf(values, p.raw.index - from);
  return width === undefined ? undefined : width * interval;
}

/** What the measures of shape are taken on: the signal of a summed peak, the fitted component of another. */
function curveOfPeak(corrected: Float64Array, p: EvaluatedPeak): Float64Array {
  return p.rule === "summation" ? corrected : spread(p, corrected.length);
}

/** Component of a fitted peak laid on the record, so that the same measures apply to it. */
function spread(p: EvaluatedPeak, length: number): Float64Array {
  const out = new Float64Array(length);
  out.set(p.component.subarray(0, length - p.first), p.first);
  return out;
}

/** Symmetry factor at 5 % height: W₀.₀₅/(2·front half-width); undefined below 40 times the noise. */
function tailing(run: EvaluatedRun, p: EvaluatedPeak): number | undefined {
  const { corrected, noise } = run.trace;
  if (!p.raw || p.height < 40 * noise) return undefined;
  const y = curveOfPeak(corrected, p);
  const apex = p.raw.index;
  const level = 0.05 * y[apex];
  const front = crossing(y, apex, -1, level);
  const back = crossing(y, apex, 1, level);
  return front === undefined || back === undefined || front === 0 ? undefined : (front + back) / (2 * front);
}

function crossing(y: Float64Array, apex: number, step: 1 | -1, level: number): number | undefined {
  for (let i = apex; i + step >= 0 && i + step < y.length; i += step) {
    if (y[i + step] > 1.001 * y[apex]) return undefined;
    if (y[i + step] <= level) return Math.abs(i - apex) + (y[i] - level) / (y[i] - y[i + step]);
  }
  return undefined;
}

/** Rs = 1.18 (t₂ − t₁)/(W½,₁ + W½,₂). */
function resolution(
  run: EvaluatedRun,
  p: EvaluatedPeak,
  next: EvaluatedPeak | undefined,
): number | undefined {
  if (!next) return undefined;
  const [a, b] = [halfWidth(run, p), halfWidth(run, next)];
  return a === undefined || b === undefined ? undefined : (1.18 * (next.time - p.time)) / (a + b);
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

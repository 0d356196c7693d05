import { detectPeaks } from "../../peaks/detection/detect.js";
import { arpls, stiffnessFor } from "../../signal/arpls.js";
import { blankReference } from "../../signal/blank-reference.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { whiteNoise } from "../../signal/noise.js";
import { widthAtHalf } from "../../signal/peak-width.js";
import { evenInterval, indexAt } from "../../signal/time-axis.js";
import { voidRegion } from "../../signal/void-region.js";
import type { Batch, Injection, MethodIon } from "../types.js";
import type { WidthCurve } from "./width-curve.js";

/** One injection with its baseline taken off, ready for peaks. Index 0 is the start of the evaluated stretch. */
export interface PreparedTrace {
  readonly injection: Injection;
  readonly chromatogram: Chromatogram;
  /** First sample of the evaluated stretch in the record. */
  readonly offset: number;
  /** min */
  readonly interval: number;
  /** Time of index 0, min. */
  readonly start: number;
  /** Baseline-corrected signal, µS/cm. */
  readonly corrected: Float64Array;
  /** Baseline over the stretch, blank reference included, µS/cm. */
  readonly baseline: Float64Array;
  /** Signal less the blanks' common course, µS/cm. */
  readonly own: Float64Array;
  /** Final weights of the re-weighted baseline: near 0 where a peak stands. */
  readonly weights: Float64Array;
  /** White standard deviation, µS/cm. */
  readonly noise: number;
}

export interface Stretch {
  readonly from: number;
  readonly to: number;
  /** End of the void dip, min, and its minimum where one was found. */
  readonly voidEnd: number;
  readonly voidDip: number | undefined;
}

/** The evaluated stretch of a batch: from the method's start or the end of the void, whichever is later. */
export function evaluatedStretch(batch: Batch): Stretch {
  const blanks = batch.injections.filter((i) => i.kind === "blank");
  const looked = blanks.length > 0 ? blanks : batch.injections;
  const voids = looked.map((i) => {
    const c = chromatogramOf(batch, i);
    return voidRegion(c.time, c.signal, batch.method.holdUpTime);
  });
  const ends = voids.map((v) => v.end).sort((a, b) => a - b);
  const voidEnd = ends[ends.length >> 1];
  const dips = voids.flatMap((v) => (v.dip === undefined ? [] : [v.dip]));
  const firstIon = Math.min(...batch.method.ions.map((i) => i.retentionTime - i.window));
  let to = batch.method.to ?? Number.POSITIVE_INFINITY;
  for (const c of batch.chromatograms.values()) to = Math.min(to, c.time[c.time.length - 1]);
  // An ion that elutes inside the recovery must still be looked at: the stretch never starts behind its window.
  const from = Math.max(batch.method.from, Math.min(voidEnd, firstIon));
  return { from, to, voidEnd, voidDip: dips.length > 0 ? dips[dips.length >> 1] : undefined };
}

export function chromatogramOf(batch: Batch, injection: Injection): Chromatogram {
  const found = batch.chromatograms.get(injection.id);
  if (!found) throw new Error(`no chromatogram for injection ${injection.id}`);
  return found;
}

/** A broad bump that belongs to the system, not to a sample; min. */
export interface Hump {
  readonly time: number;
  readonly sigma: number;
}

export interface PreparedTraces {
  readonly traces: readonly PreparedTrace[];
  readonly humps: readonly Hump[];
  readonly blankSubtracted: boolean;
}

/** A peak this many times wider than its neighbours in time is no peak of the column. */
const BROAD = 2.2;

/** Signals over the stretch, on one grid: records that start or step differently are interpolated onto the first's. */
export interface CutTrace {
  readonly injection: Injection;
  readonly chromatogram: Chromatogram;
  readonly offset: number;
  readonly interval: number;
  readonly start: number;
  readonly y: Float64Array;
}

export function cutTraces(batch: Batch, stretch: Stretch): readonly CutTrace[] {
  return batch.injections.map((injection) => {
    const chromatogram = chromatogramOf(batch, injection);
    const offset = indexAt(chromatogram.time, stretch.from);
    let last = indexAt(chromatogram.time, stretch.to);
    if (chromatogram.time[last] > stretch.to + 1e-9) last--;
    const interval = evenInterval(chromatogram, offset, last);
    const y = chromatogram.signal.slice(offset, last + 1);
    return { injection, chromatogram, offset, interval, start: chromatogram.time[offset], y };
  });
}

/**
 * Takes the baseline off every trace: first what the programme does alone (the blanks' common course), then
 * the rest by arPLS with the stiffness of the widest peak.
 */
export function prepareTraces(
  cuts: readonly CutTrace[],
  widths: WidthCurve,
  ions: readonly MethodIon[],
): PreparedTraces {
  const reference = programmeReference(cuts, widths, ions);
  const traces = cuts.map((cut) => {
    const blank = reference && reference.course.length === cut.y.length ? reference.course : undefined;
    const y = blank ? cut.y.map((value, i) => value - blank[i]) : cut.y;
    const { values, weights } = arpls(y, stiffnessFor(widths.widest, cut.interval));
    const corrected = y.map((value, i) => value - values[i]);
    const baseline = blank ? values.map((value, i) => value + blank[i]) : values;
    return {
      injection: cut.injection,
      chromatogram: cut.chromatogram,
      offset: cut.offset,
      interval: cut.interval,
      start: cut.start,
      corrected,
      baseline,
      own: y,
      weights,
      noise: whiteNoise(cut.y),
    };
  });
  return { traces, humps: reference?.humps ?? [], blankSubtracted: reference !== undefined };
}

interface ProgrammeReference {
  readonly course: Float64Array;
  /** Broad bumps that every blank shows (carbonate), min: subtracted, but remembered as system peaks. */
  readonly humps: readonly Hump[];
}

/** Common course of the blanks, or nothing where fewer than two blanks share a grid. */
function programmeReference(
  cuts: readonly CutTrace[],
  widths: WidthCurve,
  ions: readonly MethodIon[],
): ProgrammeReference | undefined {
  const blanks = cuts.filter((c) => c.injection.kind === "blank");
  if (blanks.length < 2 || blanks.some((b) => b.y.length !== blanks[0].y.length)) return undefined;
  const { interval, start } = blanks[0];
  const peakWidth = widths.widest / interval;
  const signals = blanks.map((b) => b.y);
  const course = blankReference(signals, { peakWidth });
  const rough = arpls(course, stiffnessFor(3 * widths.widest, interval));
  const above = course.map((value, i) => value - rough.values[i]);
  const sigmaAt = (index: number) => widths.at(start + index * interval) / interval;
  const bumps = detectPeaks(above, { widthAt: sigmaAt, threshold: 8 });
  const masked: (readonly [number, number])[] = [];
  const humps: Hump[] = [];
  for (const { index } of bumps) {
    const sigma = sigmaAt(index);
    const measured = (widthAtHalf(above, index) ?? 0) / 2.3548;
    const time = start + index * interval;
    if (measured > BROAD * sigma) humps.push({ time, sigma: measured * interval });
    // A peak where an ion of the method elutes is contamination of the blanks: never subtracted, so that it is seen.
    else if (ions.some((i) => Math.abs(i.retentionTime - time) < i.window))
      masked.push([Math.round(index - 5 * sigma), Math.round(index + 8 * sigma)]);
  }
  return { course: masked.length === 0 ? course : blankReference(signals, { peakWidth, masked }), humps };
}

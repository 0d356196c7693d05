import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { robustStandardDeviation } from "../numeric/robust.js";
import { type BlankAlignment, bestShift, fitGain } from "./align-blank.js";
import { estimateBaseline } from "./baseline.js";
import { blankCourse, shifted } from "./blank-course.js";
import type { Chromatogram } from "./chromatogram.js";
import { makeChromatogram } from "./make-chromatogram.js";
import { requireChromatogram } from "./require-chromatogram.js";
import { evenInterval, stretchOf } from "./time-axis.js";

export interface BlankSubtractionOptions {
  /** Standard deviation of the widest peak, min. @default measured from the record */
  readonly peakWidth?: number;
  /** Stretches with peaks, min, kept out of the alignment besides those that show themselves. @default none */
  readonly peaks?: readonly (readonly [from: number, to: number])[];
  /** min @default 5 s */
  readonly maximumShift?: number;
  /** Largest departure of the gain from 1. @default 0.1 */
  readonly maximumGain?: number;
}

/** A blank of the same programme aligned to a record and taken off it, or refused. */
export interface BlankSubtraction {
  readonly kind: "blank-subtraction";
  /** The difference; the record itself where the blank was refused. */
  readonly chromatogram: Chromatogram;
  readonly original: Chromatogram;
  /** The aligned blank at the times of the record, offset included. */
  readonly course: Float64Array;
  /** How much later the record runs than the blank, min. */
  readonly shift: number;
  readonly gain: number;
  /** In the signal's unit. */
  readonly offset: number;
  /** Spread of the peak-free readings about a straight line before and after, r.m.s. in the signal's unit. */
  readonly rmsBefore: number;
  readonly rmsAfter: number;
  readonly accepted: boolean;
  /** Why it was taken off or refused, and what to mind. */
  readonly reason: string;
  /** Where the blank itself seems to hold peaks, min. */
  readonly blankPeaks: readonly number[];
  /** Blanks that were averaged. */
  readonly blanks: readonly string[];
  toString(): string;
}

/** 5 s */
const MAXIMUM_SHIFT = 5 / 60;
const MAXIMUM_GAIN = 0.1;
/** Moving the blank must lower the r.m.s. by this share; without a bend in the blank nothing tells a shift. */
const WORTH_MOVING = 0.01;
/** A peak of the blank stands this many spreads out of its own baseline. */
const BLANK_PEAK = 12;

/**
 * Takes the course of the programme off a record: record − (gain·blank(t − shift) + offset).
 *
 * The mean of the blanks is smoothed with λ = (σ/interval)⁴, so that its noise is not added to the record's, and moved by
 * up to ± 5 s and scaled by up to ± 10 % to the least weighted squares over the peak-free readings (the weights of an
 * arPLS baseline; a straight drift is fitted along and stays). It is taken off where the r.m.s. of these readings
 * falls, else the record comes back unchanged with the reason. Times in min, signal in its own unit. O(n) per shift.
 * A blank that holds a target's peak takes the target's blank amount off too: report that as a blank, do not subtract it.
 *
 * @throws IonbookError `missing-blank` without a blank; `unit-mismatch` when blank and record differ in unit;
 *   `bad-option` for a negative bound; as `estimateBaseline`
 * @source alignment and rejection: common practice, no source; smoother: Eilers, Anal. Chem. 75 (2003) 3631 (from memory)
 */
export function subtractBlank(
  chromatogram: Chromatogram,
  blank: Chromatogram | readonly Chromatogram[],
  options: BlankSubtractionOptions = {},
): BlankSubtraction {
  const blanks = Array.isArray(blank) ? (blank as readonly Chromatogram[]) : [blank as Chromatogram];
  check(chromatogram, blanks, options);
  const first = estimateBaseline(chromatogram, widthOf(options.peakWidth));
  const sigma = first.peakWidth ?? 0.1;
  const course = blankCourse(blanks, sigma);
  const blankTime = blanks[0].time;
  const laid = (shift: number) => shifted(blankTime, course, chromatogram.time, shift);
  let weights = peakFree(chromatogram, first, options.peaks ?? []);
  let alignment = align(chromatogram, laid, weights, first, options);
  // Once more with the weights of the difference: bends of the programme no longer pass for peaks there.
  const rough = take(chromatogram, laid(alignment.shift), alignment);
  const again = estimateBaseline(rough, { from: first.from, to: first.to, ...widthOf(sigma) });
  weights = peakFree(rough, again, options.peaks ?? []);
  alignment = align(chromatogram, laid, weights, first, options);
  return judge(chromatogram, blanks, laid(alignment.shift), alignment, weights, first, sigma, course);
}

const widthOf = (peakWidth: number | undefined) => (peakWidth === undefined ? {} : { peakWidth });

function check(record: Chromatogram, blanks: readonly Chromatogram[], options: BlankSubtractionOptions) {
  requireChromatogram(record, "subtractBlank");
  if (blanks.length === 0) {
    throw new IonbookError(
      "missing-blank",
      `subtractBlank: no blank for ${record.id}: give one of its programme`,
    );
  }
  for (const each of blanks) {
    requireChromatogram(each, "subtractBlank");
    if (each.signalUnit !== record.signalUnit) {
      throw new IonbookError(
        "unit-mismatch",
        `subtractBlank: ${each.id} is in ${each.signalUnit}, ${record.id} in ${record.signalUnit}: give a blank of the same detector`,
      );
    }
  }
  for (const name of ["maximumShift", "maximumGain"] as const) {
    const value = options[name];
    if (value === undefined || (value >= 0 && Number.isFinite(value))) continue;
    throw new IonbookError("bad-option", `subtractBlank: ${name} is ${value}: give a number of 0 or more`);
  }
}

interface Region {
  readonly from: number;
  readonly to: number;
}

/** Weights of the baseline, 0 in the stretches named and outside the region. */
function peakFree(
  { time }: Chromatogram,
  { weights }: { readonly weights: Float64Array },
  peaks: readonly (readonly [number, number])[],
): Float64Array {
  return weights.map((w, i) => (peaks.some(([from, to]) => time[i] >= from && time[i] <= to) ? 0 : w));
}

function align(
  { time, signal }: Chromatogram,
  laid: (shift: number) => Float64Array,
  weights: Float64Array,
  { from, to }: Region,
  { maximumShift = MAXIMUM_SHIFT, maximumGain = MAXIMUM_GAIN }: BlankSubtractionOptions,
): BlankAlignment {
  const { first, last } = stretchOf(time, from, to);
  const [y, w] = [signal, weights].map((all) => all.subarray(first, last + 1));
  const fit = (shift: number, gains: readonly [number, number]) =>
    fitGain(y, laid(shift).subarray(first, last + 1), w, gains, shift);
  const still = fit(0, [1, 1]);
  const interval = (time[last] - time[first]) / (last - first);
  const gains = [1 - maximumGain, 1 + maximumGain] as const;
  const moved = bestShift((shift) => fit(shift, gains), maximumShift, interval);
  return moved.rms < (1 - WORTH_MOVING) * still.rms ? moved : still;
}

function take(record: Chromatogram, blank: Float64Array, { gain, offset }: BlankAlignment): Chromatogram {
  const { id, time, signal, signalUnit, channel, notes, source } = record;
  return makeChromatogram({
    id,
    time,
    signal: signal.map((value, i) => value - gain * blank[i] - offset),
    signalUnit,
    ...(channel === undefined ? {} : { channel }),
    notes: [...notes, "a blank of the programme is subtracted"],
    ...(source === undefined ? {} : { source }),
  });
}

function judge(
  original: Chromatogram,
  blanks: readonly Chromatogram[],
  laid: Float64Array,
  alignment: BlankAlignment,
  weights: Float64Array,
  region: Region,
  sigma: number,
  course: Float64Array,
): BlankSubtraction {
  const { first, last } = stretchOf(original.time, region.from, region.to);
  const zero = new Float64Array(last - first + 1);
  const [y, w] = [original.signal, weights].map((all) => all.subarray(first, last + 1));
  const rmsBefore = fitGain(y, zero, w, [0, 0], 0).rms;
  const accepted = alignment.rms < rmsBefore;
  const { shift, gain, offset, rms } = alignment;
  const blankPeaks = peaksOf(blanks[0], course, sigma);
  const shown = (value: number) => `${Number(value.toPrecision(3))} ${original.signalUnit}`;
  const verdict = accepted
    ? `it lowers the spread between the peaks from ${shown(rmsBefore)} to ${shown(rms)}`
    : `it would not lower the spread between the peaks (${shown(rmsBefore)} before, ${shown(rms)} after)`;
  const mind =
    blankPeaks.length === 0
      ? ""
      : `; the blank itself stands out of its baseline at ${blankPeaks.map((t) => t.toFixed(2)).join(", ")} min (a sharp bend of the programme or a peak: an ion found there is to be reported as a blank, not subtracted)`;
  return {
    kind: "blank-subtraction",
    chromatogram: accepted ? take(original, laid, alignment) : original,
    original,
    course: laid.map((value) => gain * value + offset),
    shift,
    gain,
    offset,
    rmsBefore,
    rmsAfter: rms,
    accepted,
    reason: verdict + mind,
    blankPeaks,
    blanks: blanks.map(({ id }) => id),
    toString: () =>
      `${original.id}: the blank ${blanks.map(({ id }) => id).join(", ")} is ${accepted ? "" : "not "}subtracted: ${verdict}${mind}`,
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  } as BlankSubtraction;
}

/** Apexes of what stands out of the blank's own baseline, min. */
function peaksOf(blank: Chromatogram, course: Float64Array, sigma: number): readonly number[] {
  const { id, time, signalUnit } = blank;
  const { first, last } = stretchOf(time);
  if (last - first < 20) return [];
  const own = makeChromatogram({ id, time, signal: course, signalUnit });
  const { values } = estimateBaseline(own, { peakWidth: sigma });
  const above = course.map((value, i) => (Number.isNaN(values[i]) ? 0 : value - values[i]));
  const spread = robustStandardDeviation(above.filter((_, i) => !Number.isNaN(values[i])));
  const reach = Math.max(1, Math.round((3 * sigma) / evenInterval(blank)));
  const apexes: number[] = [];
  for (let i = 1; i < above.length - 1; i++) {
    if (above[i] <= BLANK_PEAK * spread || above[i] < above[i - 1] || above[i] < above[i + 1]) continue;
    const last = apexes[apexes.length - 1];
    if (last !== undefined && i - last < reach) {
      if (above[i] > above[last]) apexes[apexes.length - 1] = i;
    } else apexes.push(i);
  }
  return apexes.map((i) => time[i]);
}

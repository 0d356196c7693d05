import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { type AlignmentBounds, alignBlank } from "./align-blank.js";
import { estimateBaseline } from "./baseline.js";
import { shifted } from "./blank-course.js";
import type { Chromatogram } from "./chromatogram.js";
import { courseOfBlanks } from "./course-of-blanks.js";
import { type BlankAlignment, spreadAboutLine } from "./fit-gain.js";
import { makeChromatogram } from "./make-chromatogram.js";
import { requireChromatogram } from "./require-chromatogram.js";

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

/**
 * Takes the course of the programme off a record: record − (gain·blank(t − shift) + offset).
 *
 * The mean of the blanks is smoothed with λ = (σ/interval)⁴, so that its noise is not added to the record's, and moved by
 * up to ± 5 s and scaled by up to ± 10 % to the least weighted squares over the peak-free readings: the weights of an
 * arPLS baseline, and biweights that let go what fits on neither side. A smooth wander is fitted along and stays, so that
 * the bends of the programme alone tell shift and gain; where they tell little, both stay near what is usual, 0 ± 1.7 s
 * and 1 ± 0.033 (a third of the bounds). The blank is taken off where the r.m.s. of these readings about a straight line
 * falls, else the record comes back unchanged with the reason. Times in min, signal in its own unit. O(n) per shift.
 * A blank that holds a target's peak takes the target's blank amount off too: report that as a blank, do not subtract it.
 *
 * @throws IonbookError `missing-blank` without a blank; `unit-mismatch` when blank and record differ in unit;
 *   `bad-option` for a negative bound; as `estimateBaseline`
 * @source bounds and rejection: common practice, no source; alignment derived; smoother: Eilers, Anal. Chem. 75 (2003) 3631 (from memory)
 */
export function subtractBlank(
  chromatogram: Chromatogram,
  blank: Chromatogram | readonly Chromatogram[],
  options: BlankSubtractionOptions = {},
): BlankSubtraction {
  const blanks = Array.isArray(blank) ? (blank as readonly Chromatogram[]) : [blank as Chromatogram];
  check(chromatogram, blanks, options);
  const { maximumShift = MAXIMUM_SHIFT, maximumGain = MAXIMUM_GAIN, peaks = [] } = options;
  const bounds = { maximumShift, maximumGain };
  const first = estimateBaseline(chromatogram, widthOf(options.peakWidth));
  const sigma = first.peakWidth ?? 0.1;
  const { course, blankPeaks } = courseOfBlanks(blanks, Number(sigma.toPrecision(2)));
  const blankTime = blanks[0].time;
  const laid = (at: Float64Array, shift: number) => shifted(blankTime, course, at, shift);
  let weights = peakFree(chromatogram, first, peaks);
  let alignment = alignBlank(chromatogram, laid, weights, first, sigma, bounds);
  // Once more with the weights of the difference: bends of the programme no longer pass for peaks there.
  const rough = take(chromatogram, laid(chromatogram.time, alignment.shift), alignment);
  const again = estimateBaseline(rough, { from: first.from, to: first.to, ...widthOf(sigma) });
  weights = peakFree(rough, again, peaks);
  alignment = alignBlank(chromatogram, laid, weights, first, sigma, bounds);
  const aligned = { laid: laid(chromatogram.time, alignment.shift), alignment, blankPeaks, bounds };
  return judge(chromatogram, blanks, aligned, weights);
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

/** Weights of the baseline, 0 in the stretches named and outside the region. */
function peakFree(
  { time }: Chromatogram,
  { weights }: { readonly weights: Float64Array },
  peaks: readonly (readonly [number, number])[],
): Float64Array {
  return weights.map((w, i) => (peaks.some(([from, to]) => time[i] >= from && time[i] <= to) ? 0 : w));
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

interface Aligned {
  readonly laid: Float64Array;
  readonly alignment: BlankAlignment;
  readonly blankPeaks: readonly number[];
  readonly bounds: AlignmentBounds;
}

function judge(
  original: Chromatogram,
  blanks: readonly Chromatogram[],
  { laid, alignment, blankPeaks, bounds }: Aligned,
  weights: Float64Array,
): BlankSubtraction {
  const { shift, gain, offset } = alignment;
  const difference = original.signal.map((value, i) => value - gain * laid[i]);
  const rmsBefore = spreadAboutLine(original.signal, weights);
  const rms = spreadAboutLine(difference, weights);
  const accepted = rms < rmsBefore;
  const shown = (value: number) => `${Number(value.toPrecision(3))} ${original.signalUnit}`;
  const verdict = accepted
    ? `it lowers the spread between the peaks from ${shown(rmsBefore)} to ${shown(rms)}`
    : `it would not lower the spread between the peaks (${shown(rmsBefore)} before, ${shown(rms)} after)`;
  const mind = atBound(alignment, bounds) + ownPeaks(blankPeaks);
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

/** A search that stops at its bound has not found the best place: the blank may be of another programme. */
function atBound({ shift, gain }: BlankAlignment, { maximumShift, maximumGain }: AlignmentBounds): string {
  const near = (value: number, bound: number) => bound > 0 && Math.abs(value) > 0.999 * bound;
  const stopped = [
    ...(near(shift, maximumShift) ? [`the shift (${(60 * shift).toFixed(1)} s)`] : []),
    ...(near(gain - 1, maximumGain) ? [`the gain (${gain.toFixed(3)})`] : []),
  ];
  if (stopped.length === 0) return "";
  return `; ${stopped.join(" and ")} ${stopped.length > 1 ? "stand at their bounds" : "stands at its bound"}: see whether the blank ran the same programme`;
}

function ownPeaks(blankPeaks: readonly number[]): string {
  if (blankPeaks.length === 0) return "";
  const times = blankPeaks.map((t) => t.toFixed(2)).join(", ");
  return `; the blank itself stands out of its baseline at ${times} min (a sharp bend of the programme or a peak: an ion found there is to be reported as a blank, not subtracted)`;
}

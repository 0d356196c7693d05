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
  const { course, blankPeaks } = courseOf(blanks, Number(sigma.toPrecision(2)));
  const blankTime = blanks[0].time;
  const laid = (at: Float64Array, shift: number) => shifted(blankTime, course, at, shift);
  let weights = peakFree(chromatogram, first, options.peaks ?? []);
  let alignment = align(chromatogram, laid, weights, first, sigma, options);
  // Once more with the weights of the difference: bends of the programme no longer pass for peaks there.
  const rough = take(chromatogram, laid(chromatogram.time, alignment.shift), alignment);
  const again = estimateBaseline(rough, { from: first.from, to: first.to, ...widthOf(sigma) });
  weights = peakFree(rough, again, options.peaks ?? []);
  alignment = align(chromatogram, laid, weights, first, sigma, options);
  return judge(
    chromatogram,
    blanks,
    { laid: laid(chromatogram.time, alignment.shift), alignment, blankPeaks },
    weights,
  );
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

interface BlankCourse {
  readonly course: Float64Array;
  readonly blankPeaks: readonly number[];
}

/** A batch takes the same blanks off all its records: their course is worked out once for each width. */
const known = new WeakMap<Chromatogram, { readonly key: string; readonly found: BlankCourse }>();

function courseOf(blanks: readonly Chromatogram[], sigma: number): BlankCourse {
  const key = [sigma, ...blanks.slice(1).map(numberOf)].join(" ");
  const kept = known.get(blanks[0]);
  if (kept?.key === key) return kept.found;
  const course = blankCourse(blanks, sigma);
  const found = { course, blankPeaks: peaksOf(blanks[0], course, sigma) };
  known.set(blanks[0], { key, found });
  return found;
}

const numbers = new WeakMap<Chromatogram, number>();
let lastNumber = 0;

/** Tells records apart that may share an id. */
function numberOf(record: Chromatogram): number {
  const known = numbers.get(record) ?? ++lastNumber;
  numbers.set(record, known);
  return known;
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
  laid: (at: Float64Array, shift: number) => Float64Array,
  weights: Float64Array,
  { from, to }: Region,
  sigma: number,
  { maximumShift = MAXIMUM_SHIFT, maximumGain = MAXIMUM_GAIN }: BlankSubtractionOptions,
): BlankAlignment {
  const { first, last } = stretchOf(time, from, to);
  const interval = (time[last] - time[first]) / (last - first);
  const points = inBlocks(
    time,
    signal,
    weights,
    [first, last],
    Math.max(1, Math.round(sigma / (2 * interval))),
  );
  const fit = (shift: number, gains: readonly [number, number]) =>
    fitGain(points.y, laid(points.time, shift), points.w, gains, shift);
  const still = fit(0, [1, 1]);
  const gains = [1 - maximumGain, 1 + maximumGain] as const;
  const moved = bestShift((shift) => fit(shift, gains), maximumShift, interval);
  return moved.rms < (1 - WORTH_MOVING) * still.rms ? moved : still;
}

/** Weighted means over blocks of half a σ: the course of a programme has nothing finer. */
function inBlocks(
  time: Float64Array,
  signal: Float64Array,
  weights: Float64Array,
  [first, last]: readonly [number, number],
  size: number,
) {
  const count = Math.ceil((last - first + 1) / size);
  const [y, w, t] = [0, 1, 2].map(() => new Float64Array(count));
  for (let k = 0; k < count; k++) {
    const end = Math.min(first + (k + 1) * size, last + 1);
    for (let i = first + k * size; i < end; i++) {
      // A floor keeps the mean of a block without weight defined; the block then counts for nothing.
      const weight = weights[i] + 1e-12;
      w[k] += weight;
      y[k] += weight * signal[i];
      t[k] += weight * time[i];
    }
    y[k] /= w[k];
    t[k] /= w[k];
  }
  return { y, w, time: t };
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
}

function judge(
  original: Chromatogram,
  blanks: readonly Chromatogram[],
  { laid, alignment, blankPeaks }: Aligned,
  weights: Float64Array,
): BlankSubtraction {
  const { shift, gain, offset } = alignment;
  const spread = (factor: number) => fitGain(original.signal, laid, weights, [factor, factor], shift).rms;
  const [rmsBefore, rms] = [spread(0), spread(gain)];
  const accepted = rms < rmsBefore;
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

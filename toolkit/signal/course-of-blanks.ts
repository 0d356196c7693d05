import { robustStandardDeviation } from "../numeric/robust.js";
import { estimateBaseline } from "./baseline.js";
import { blankCourse } from "./blank-course.js";
import type { Chromatogram } from "./chromatogram.js";
import { makeChromatogram } from "./make-chromatogram.js";
import { evenInterval, stretchOf } from "./time-axis.js";

/** What the blanks of a programme share, and where they themselves seem to hold peaks. */
export interface CourseOfBlanks {
  /** On the times of the first blank, in its unit. */
  readonly course: Float64Array;
  /** min */
  readonly blankPeaks: readonly number[];
}

/** A peak of the blank stands this many spreads out of its own baseline. */
const BLANK_PEAK = 12;

interface Known {
  readonly blanks: readonly Chromatogram[];
  readonly sigma: number;
  readonly found: CourseOfBlanks;
}

/** A batch takes the same blanks off all its records: their course is worked out once for each width. */
const lastOf = new WeakMap<Chromatogram, Known>();

/**
 * @param blanks at least one
 * @param sigma standard deviation of the widest peak, min
 */
export function courseOfBlanks(blanks: readonly Chromatogram[], sigma: number): CourseOfBlanks {
  const last = lastOf.get(blanks[0]);
  if (last?.sigma === sigma && sameRecords(last.blanks, blanks)) return last.found;
  const course = blankCourse(blanks, sigma);
  const found = { course, blankPeaks: peaksOf(blanks[0], course, sigma) };
  lastOf.set(blanks[0], { blanks: [...blanks], sigma, found });
  return found;
}

const sameRecords = (a: readonly Chromatogram[], b: readonly Chromatogram[]) =>
  a.length === b.length && a.every((record, i) => record === b[i]);

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

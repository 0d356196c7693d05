import { type MeasuredPeak, type Prepared, together } from "./placed-peak.js";
import { type Surroundings, surroundings } from "./surroundings.js";

/** How little is known of that tail, relative. */
const TAIL_UNKNOWN = 0.5;
/** A rider's giant is looked for within this many σ before it, and this many of the giant's own behind it. */
const RIDER_REACH = 20;
const FRONT_REACH = 6.5;
/** Farther behind, where none is nearer, one counts whose slow tail may still hold this share of the peak's height. */
const LONG_TAIL = 0.02;

/** The peak at least `ratio` times higher that this one rides on, where there is one. */
export function giantBeside(
  smooth: Float64Array,
  peaks: readonly Prepared[],
  k: number,
  ratio: number,
  around: Surroundings = surroundings(smooth, peaks, k, 0),
): number | undefined {
  const own = peaks[k];
  const height = Math.max(own.height - backgroundUnder(around), own.present ? 0 : Number.MIN_VALUE);
  let [near, far]: (number | undefined)[] = [undefined, undefined];
  const higher = (j: number, than: number | undefined) =>
    than === undefined || peaks[j].height > peaks[than].height ? j : than;
  for (let j = 0; j < peaks.length; j++) {
    const other = peaks[j];
    if (j === k || !other.present || !(other.height > ratio * height)) continue;
    const gap = own.apex - other.apex;
    if (-gap > FRONT_REACH * other.sigma * other.widening && !around.neighbours.includes(j)) continue;
    if (gap <= RIDER_REACH * own.sigma) near = higher(j, near);
    else if (tailUnder(other, own) > LONG_TAIL * height) far = higher(j, far);
  }
  return near ?? far;
}

/**
 * What a giant's slow tail leaves under a later peak. Real columns hold back about a percent of a peak in slow
 * exponentials of some 2.5, 6 and 15 σ (common practice, no source): enough to say when it matters, not to subtract.
 */
export function tailUnder(giant: Prepared, own: Prepared): number {
  const gap = (own.apex - giant.apex) / giant.sigma;
  if (gap < 0) return 0;
  return (
    giant.height * (7e-3 * Math.exp(-gap / 2.5) + 1.7e-3 * Math.exp(-gap / 6) + 3.3e-4 * Math.exp(-gap / 15))
  );
}

/** Adds what is not known of a giant's tail under a peak: it is a fraction of a percent, and not the same on two columns. */
export function withTail(peak: MeasuredPeak, tail: number): MeasuredPeak {
  const under = TAIL_UNKNOWN * tail * (peak.last - peak.first + 1);
  if (under === 0) return peak;
  const sources = [...peak.sources, { name: "background model", u: under } as const];
  return { ...peak, sources, uIntegration: together(sources) };
}

/** Rough level of what lies under a peak: the lower of its limits, which its neighbours' valleys clip. */
function backgroundUnder({ levelLeft, levelRight }: Surroundings): number {
  return Math.max(0, Math.min(levelLeft, levelRight));
}

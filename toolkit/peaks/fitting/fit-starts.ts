import { IonbookError } from "../../errors.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { halfWidths } from "../../signal/peak-width.js";
import { indexAt } from "../../signal/time-axis.js";
import { findPeaks } from "../detection/find-peaks.js";
import { type BiGaussian, biGaussianOf } from "./bi-gaussian.js";

/** Where a fit starts; min. */
export interface FitStart {
  /** Apex. */
  readonly retentionTime: number;
  /** @default from the half-height width of the record there */
  readonly sigma?: number;
  /**
   * @default from the half widths before and behind the apex of a peak that stands alone, else 0.3 σ; the other side is
   * tried where no tail is left
   */
  readonly tau?: number;
  /** Overload, for shape "hvl". @default 0.5 */
  readonly q?: number;
  /** Skew, for shape "skew-normal". @default 1.5, or −1.5 where that fits better */
  readonly alpha?: number;
}

export interface StartOptions {
  readonly peaks?: readonly FitStart[];
  readonly from?: number;
  readonly to?: number;
}

/** A start with everything it needs; min. */
export interface CompleteStart {
  readonly apex: number;
  readonly sigma: number;
  readonly tau: number;
  readonly q?: number | undefined;
  readonly alpha?: number | undefined;
  /** Nobody stated the tail. */
  readonly guessed: boolean;
  /** What its half widths say of a peak whose σ and tail nobody stated; undefined for shoulders and near neighbours. */
  readonly halves?: BiGaussian | undefined;
}

/** What is fitted: a stretch of the record. */
export interface FitWindow {
  readonly time: Float64Array;
  readonly signal: Float64Array;
  /** First and last time, min. */
  readonly from: number;
  readonly to: number;
}

/** Full width at half height of a slightly tailing peak, in σ. */
const HALF_WIDTH = 2.5;
/** Tail assumed at the start, in σ. */
const TAIL = 0.3;
/** σ assumed where a peak shows no half-height width of its own and no other peak does, min (common practice, no source). */
const TYPICAL_SIGMA = 0.1;
/** Dents of the noise that a climb to the apex steps over, samples. */
const DENT = 3;
/** How far the window reaches from the outermost apexes, in σ, and behind also in τ. */
const REACH = 10;

/**
 * The starts of a fit, in order of time: those given, else the peaks found between the limits; widths left out are
 * read from the record.
 *
 * @throws IonbookError `no-peaks`; `bad-start` for a start outside the record or limits, or a σ not positive
 */
export function chooseStarts(of: Chromatogram, options: StartOptions): readonly CompleteStart[] {
  const given = [...(options.peaks ?? foundStarts(of, options))].sort(
    (a, b) => a.retentionTime - b.retentionTime,
  );
  if (given.length === 0) {
    throw new IonbookError(
      "no-peaks",
      `no peak to start from in ${of.id}: give peaks: [{ retentionTime }], with sigma where it is known`,
    );
  }
  const low = options.from ?? of.time[0];
  const high = options.to ?? of.time[of.time.length - 1];
  for (const { retentionTime: t, sigma = 1, tau = 0 } of given) {
    if (t >= low && t <= high && sigma > 0 && Number.isFinite(sigma) && Number.isFinite(tau)) continue;
    throw new IonbookError(
      "bad-start",
      `a peak at ${t} min with σ ${sigma} and τ ${tau} cannot start a fit of ${of.id} from ${low} to ${high} min: give a time inside, σ > 0 and a finite τ`,
    );
  }
  const halves = given.map(({ sigma, retentionTime }) =>
    sigma === undefined ? readHalves(of, retentionTime, low, high) : undefined,
  );
  const read = given.map(({ sigma }, k) => sigma ?? sigmaOf(halves[k]));
  const known = read.filter((sigma) => sigma !== undefined).sort((a, b) => a - b);
  const usual = known.length > 0 ? known[known.length >> 1] : TYPICAL_SIGMA;
  return given.map(({ retentionTime, tau, q, alpha }, k) => {
    const sigma = read[k] ?? usual;
    const guessed = tau === undefined && alpha === undefined;
    const seen = guessed ? halves[k] : undefined;
    const own = seen !== undefined && standsAlone(given, k, seen) ? { halves: biGaussianOf(seen) } : {};
    return { apex: retentionTime, sigma, tau: tau ?? TAIL * sigma, q, alpha, guessed, ...own };
  });
}

/** A neighbour nearer than this many full widths at half height lifts a flank, which then looks like a tail. */
const ALONE = 2;

function standsAlone(starts: readonly FitStart[], k: number, { left, right }: BiGaussian): boolean {
  const apart = ALONE * (left + right);
  const at = starts[k].retentionTime;
  return starts.every(({ retentionTime }, other) => other === k || Math.abs(retentionTime - at) > apart);
}

function sigmaOf(halves: BiGaussian | undefined): number | undefined {
  return halves === undefined ? undefined : (halves.left + halves.right) / HALF_WIDTH;
}

function foundStarts(of: Chromatogram, { from, to }: StartOptions): readonly FitStart[] {
  return findPeaks(of, { ...(from === undefined ? {} : { from }), ...(to === undefined ? {} : { to }) }).map(
    ({ retentionTime }) => ({ retentionTime }),
  );
}

/** Half widths above the lowest reading between the limits, min; undefined for a shoulder. */
function readHalves(
  { time, signal }: Chromatogram,
  apex: number,
  low: number,
  high: number,
): BiGaussian | undefined {
  const [first, last] = [indexAt(time, low), indexAt(time, high)];
  const part = signal.slice(first, last + 1);
  let lowest = part[0];
  for (const value of part) if (value < lowest) lowest = value;
  const raised = part.map((value) => value - lowest);
  const start = indexAt(time, apex) - first;
  const top = climbed(raised, start);
  const halves = halfWidths(raised, top);
  if (halves === undefined) return undefined;
  const width = halves.left + halves.right;
  if (!(width > 0) || Math.abs(top - start) > 0.5 * width) return undefined;
  const interval = (time[last] - time[first]) / Math.max(last - first, 1);
  return { left: interval * halves.left, right: interval * halves.right };
}

/** Uphill from a sample, over dents of a few samples, to where nothing near is higher. */
function climbed(signal: Float64Array, start: number): number {
  let top = start;
  for (;;) {
    let best = top;
    for (let i = Math.max(top - DENT, 0); i <= Math.min(top + DENT, signal.length - 1); i++)
      if (signal[i] > signal[best]) best = i;
    if (best === top) return top;
    top = best;
  }
}

/** The stretch to be fitted: the given limits, else ten widths about the outermost peaks. */
export function chooseWindow(
  of: Chromatogram,
  starts: readonly CompleteStart[],
  options: StartOptions,
): FitWindow {
  const edge = (direction: -1 | 1) =>
    starts.map(({ apex, sigma, tau }) => apex + direction * (REACH * (sigma + Math.max(0, direction * tau))));
  const first = indexAt(of.time, options.from ?? Math.min(...edge(-1)));
  const to = options.to ?? Math.max(...edge(1));
  let last = indexAt(of.time, to);
  if (of.time[last] > to) last--;
  const time = of.time.subarray(first, last + 1);
  const signal = of.signal.subarray(first, last + 1);
  return { time, signal, from: of.time[first], to: of.time[last] };
}

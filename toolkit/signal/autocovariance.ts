import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { endOfVoid } from "./baseline.js";
import type { Chromatogram } from "./chromatogram.js";
import { requireChromatogram } from "./require-chromatogram.js";
import { straightLine } from "./straight-line.js";
import { evenInterval, stretchOf } from "./time-axis.js";

export interface AutocovarianceOptions {
  /** Stretch without peaks, min. @default the end of the void to the end of the record */
  readonly from?: number;
  readonly to?: number;
  /** Longest lag kept, min; never more than a quarter of the stretch. @default 1 */
  readonly maximumLag?: number;
}

/** How noise remembers: the covariance of readings a lag apart. */
export interface Autocovariance {
  readonly kind: "autocovariance";
  /** Between two lags, min. */
  readonly interval: number;
  /** From lag 0 on, the signal's unit squared. */
  readonly values: Float64Array;
  readonly unit: string;
  /** n_eff/n = 1/(1 + 2Σρ): how many independent readings one reading is worth. */
  readonly effectiveFraction: number;
  /** How many records were averaged. */
  readonly records: number;
  /** Readings of all records together. */
  readonly samples: number;
  /** Longest stretch, in lags: the slowest noise that was seen. */
  readonly span: number;
  /** The stretch, min. */
  readonly from: number;
  readonly to: number;
  toString(): string;
}

/** Lags kept at most: a minute at 100 readings a second. */
const MOST_LAGS = 6000;
/** Products summed per record; beyond them the first of the two readings is taken at every p-th sample only. */
const MOST_PRODUCTS = 3e8;

/**
 * The autocovariance of noise, from stretches of blanks without peaks: the mean over the records of
 * γ(k) = Σ r(i)·r(i+k)/(n − k), r the readings less their straight line, k the lag in samples.
 *
 * The signal's unit squared; lags in min. n_eff/n = 1/(1 + 2Σρ(k)), ρ = γ(k)/γ(0), summed up to the first lag at
 * which ρ < 1.96/√n, 1 for noise that does not remember. Valid for noise that is alike all along the stretch; twenty
 * minutes and more tell the slow part within a tenth. Needs even sampling, the same in all records. O(n·lags).
 *
 * @throws IonbookError `not-a-chromatogram`; `no-records`; `short-stretch` below 20 readings; `uneven-sampling`;
 *   `different-sampling`; `bad-option` for a lag that is not positive; `out-of-range` for readings whose squares
 *   are beyond double precision
 * @source sample autocovariance and its limit 1.96/√n: Box and Jenkins 1970 (from memory)
 */
export function noiseAutocovariance(
  records: Chromatogram | readonly Chromatogram[],
  options: AutocovarianceOptions = {},
): Autocovariance {
  const all = Array.isArray(records) ? (records as readonly Chromatogram[]) : [records as Chromatogram];
  if (all.length === 0)
    throw new IonbookError("no-records", "noiseAutocovariance needs at least one record without peaks");
  const { maximumLag = 1 } = options;
  if (!(maximumLag > 0))
    throw new IonbookError(
      "bad-option",
      `noiseAutocovariance: maximumLag ${maximumLag} min is no lag: give a positive one`,
    );
  const cuts = all.map((record) => driftless(record, options));
  const { interval } = cuts[0];
  const shortest = Math.min(...cuts.map(({ y }) => y.length));
  const longest = Math.max(...cuts.map(({ y }) => y.length));
  const lags = Math.min(Math.floor(maximumLag / interval + 1e-6), Math.floor(shortest / 4), MOST_LAGS);
  const values = new Float64Array(lags + 1);
  for (const { id, interval: own, y } of cuts) {
    if (Math.abs(own / interval - 1) > 0.01)
      throw new IonbookError(
        "different-sampling",
        `${id} is sampled every ${own} min, ${all[0].id} every ${interval} min: give blanks recorded at one rate`,
      );
    addCovariances(values, y, cuts.length);
  }
  if (!values.every(Number.isFinite))
    throw new IonbookError(
      "out-of-range",
      `the squares of the readings of ${all[0].id} are beyond double precision: give the signal in another unit`,
    );
  const samples = cuts.reduce((sum, { y }) => sum + y.length, 0);
  const unit = `(${all[0].signalUnit})²`;
  const effectiveFraction = independentShare(values, samples);
  const [from, to] = [Math.min(...cuts.map((c) => c.from)), Math.max(...cuts.map((c) => c.to))];
  const text = `autocovariance of the noise of ${all.length === 1 ? all[0].id : `${all.length} records`}, ${from.toFixed(2)} to ${to.toFixed(2)} min: s.d. ${Math.sqrt(values[0]).toPrecision(3)} ${all[0].signalUnit}, n_eff/n ${effectiveFraction.toPrecision(2)}`;
  return {
    kind: "autocovariance",
    interval,
    values,
    unit,
    effectiveFraction,
    records: cuts.length,
    samples,
    span: longest,
    from,
    to,
    toString: () => text,
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  } as Autocovariance;
}

/** A stretch of a record less its straight line. */
function driftless(record: Chromatogram, options: AutocovarianceOptions) {
  requireChromatogram(record, "noiseAutocovariance");
  const { id, time, signal } = record;
  const { first, last, count } = stretchOf(time, options.from ?? endOfVoid(record), options.to);
  if (count < 20)
    throw new IonbookError(
      "short-stretch",
      `the stretch of ${id} holds ${count} readings; an autocovariance needs at least 20: choose a wider from/to`,
    );
  const interval = evenInterval(record, first, last);
  const line = straightLine(time, signal, first, last);
  const y = signal.slice(first, last + 1);
  for (let i = 0; i < y.length; i++) y[i] -= line.level + line.slope * (time[first + i] - line.centre);
  return { id, interval, y, from: time[first], to: time[last] };
}

/** Adds the covariances of one of `records` records to their mean. */
function addCovariances(values: Float64Array, y: Float64Array, records: number): void {
  const n = y.length;
  const stride = Math.max(1, Math.ceil((n * values.length) / MOST_PRODUCTS));
  for (let lag = 0; lag < values.length; lag++) {
    let sum = 0;
    let count = 0;
    for (let i = 0; i + lag < n; i += stride) {
      sum += y[i] * y[i + lag];
      count++;
    }
    values[lag] += sum / count / records;
  }
}

function independentShare(values: Float64Array, samples: number): number {
  if (!(values[0] > 0)) return 1;
  const least = 1.96 / Math.sqrt(samples);
  let sum = 0;
  for (let lag = 1; lag < values.length; lag++) {
    const correlation = values[lag] / values[0];
    if (correlation < least) break;
    sum += correlation;
  }
  return 1 / (1 + 2 * sum);
}

import { IonbookError } from "../errors.js";
import { fitPolynomial } from "../numeric/fit-polynomial.js";
import type { MeasurablePeak, PeakMoments, PeakTrace } from "./peak-shape.js";

/** From so many equal highest readings on the recorder was at its limit. */
const CLIPPED_FROM = 3;

/**
 * A recorded peak, measured on its samples: apex and height from the parabola through the five samples about the
 * highest one, crossings by a cubic through four samples, searched outwards from the apex, moments by trapezoids.
 *
 * Even sampling is not needed. A level that the record does not come down to, or a clipped apex, gives NaN: nothing
 * is extrapolated.
 *
 * @throws IonbookError `length-mismatch`, `short-stretch` (fewer than 5 samples), `no-peak` (highest at an end or
 *   not above zero)
 */
export function measureTrace({ time, signal }: PeakTrace): MeasurablePeak {
  const n = time.length;
  if (signal.length !== n) {
    throw new IonbookError(
      "length-mismatch",
      `the trace has ${n} times and ${signal.length} signals: give one signal for each time`,
    );
  }
  if (n < 5)
    throw new IonbookError(
      "short-stretch",
      `the trace holds ${n} samples; a peak needs at least 5: give a longer one`,
    );
  const top = highest(signal);
  if (!(signal[top] > 0) || top < 2 || top > n - 3) {
    throw new IonbookError(
      "no-peak",
      "the highest reading stands at an end of the trace or not above zero: give one whole peak with its baseline taken off",
    );
  }
  const apex = parabolaTop(time, signal, top);
  const clipped = equalTo(signal, signal[top]) >= CLIPPED_FROM;
  const crossing = (level: number, step: -1 | 1) =>
    clipped ? Number.NaN : crossingFrom(time, signal, top, level, step);
  return {
    retentionTime: apex.time,
    moments: sampledMoments(time, signal),
    crossings: (share) => ({
      front: crossing(share * apex.height, -1),
      back: crossing(share * apex.height, 1),
    }),
  };
}

function highest(signal: ArrayLike<number>): number {
  let top = 0;
  for (let i = 1; i < signal.length; i++) if (signal[i] > signal[top]) top = i;
  return top;
}

function equalTo(signal: ArrayLike<number>, value: number): number {
  let count = 0;
  for (let i = 0; i < signal.length; i++) if (signal[i] === value) count++;
  return count;
}

function parabolaTop(time: ArrayLike<number>, signal: ArrayLike<number>, top: number) {
  const near = [-2, -1, 0, 1, 2].map((k) => top + k);
  const { coefficients } = fitPolynomial(
    near.map((i) => time[i] - time[top]),
    near.map((i) => signal[i]),
    2,
  );
  const [c0, c1, c2] = coefficients;
  if (!(c2 < 0)) return { time: time[top], height: signal[top] };
  return { time: time[top] - c1 / (2 * c2), height: c0 - c1 ** 2 / (4 * c2) };
}

/** First crossing of `level` away from the sample `top`. */
function crossingFrom(
  time: ArrayLike<number>,
  signal: ArrayLike<number>,
  top: number,
  level: number,
  step: -1 | 1,
): number {
  let i = top;
  while (i + step >= 0 && i + step < time.length && signal[i + step] > level) i += step;
  const next = i + step;
  if (next < 0 || next >= time.length) return Number.NaN;
  const first = Math.min(Math.max(Math.min(i, next) - 1, 0), time.length - 4);
  return rootOfCubic(time, signal, first, level, time[i], time[next]);
}

/** Where the cubic through four samples from `first` on meets `level`, between a time above and one below it. */
function rootOfCubic(
  time: ArrayLike<number>,
  signal: ArrayLike<number>,
  first: number,
  level: number,
  above: number,
  below: number,
): number {
  let [high, low] = [above, below];
  for (let turn = 0; turn < 60; turn++) {
    const middle = 0.5 * (high + low);
    if (cubicAt(time, signal, first, middle) > level) high = middle;
    else low = middle;
  }
  return 0.5 * (high + low);
}

/** Lagrange's polynomial through the samples first … first + 3. */
function cubicAt(time: ArrayLike<number>, signal: ArrayLike<number>, first: number, t: number): number {
  let sum = 0;
  for (let j = first; j < first + 4; j++) {
    let term = signal[j];
    for (let k = first; k < first + 4; k++) if (k !== j) term *= (t - time[k]) / (time[j] - time[k]);
    sum += term;
  }
  return sum;
}

function sampledMoments(time: ArrayLike<number>, signal: ArrayLike<number>): PeakMoments {
  const area = integral(time, (i) => signal[i]);
  const mean = integral(time, (i) => time[i] * signal[i]) / area;
  const central = (power: number) => integral(time, (i) => (time[i] - mean) ** power * signal[i]) / area;
  const variance = central(2);
  return {
    area,
    mean,
    variance,
    skewness: central(3) / variance ** 1.5,
    excessKurtosis: central(4) / variance ** 2 - 3,
  };
}

function integral(time: ArrayLike<number>, value: (i: number) => number): number {
  let sum = 0;
  for (let i = 1; i < time.length; i++) sum += 0.5 * (time[i] - time[i - 1]) * (value(i) + value(i - 1));
  return sum;
}

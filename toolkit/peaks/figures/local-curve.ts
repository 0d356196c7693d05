import { solveSymmetric } from "../../numeric/symmetric-system.js";

/** A stretch of samples about one time. */
export interface Samples {
  readonly time: ArrayLike<number>;
  readonly signal: ArrayLike<number>;
}

/** First and last sample within `reach` of a time, at least `least` of them (as far as the record goes). */
export function samplesAround(
  { time }: Samples,
  centre: number,
  reach: number,
  least: number,
): readonly [number, number] {
  const n = time.length;
  let first = firstFrom(time, centre - reach);
  let last = firstFrom(time, centre + reach) - 1;
  while (last - first + 1 < Math.min(least, n)) {
    const before = first > 0 ? centre - time[first - 1] : Number.POSITIVE_INFINITY;
    const after = last < n - 1 ? time[last + 1] - centre : Number.POSITIVE_INFINITY;
    if (before <= after) first--;
    else last++;
  }
  return [first, last];
}

/** Index of the first time that is not below a value. */
function firstFrom(time: ArrayLike<number>, value: number): number {
  let [low, high] = [0, time.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time[middle] < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Coefficients, ascending in (t − centre), of the polynomial through or amidst the samples about a time. */
export function localPolynomial(
  samples: Samples,
  centre: number,
  reach: number,
  degree: number,
): readonly number[] {
  const [first, last] = samplesAround(samples, centre, reach, degree + 1);
  return polynomial(samples, centre, first, last, Math.min(degree, last - first));
}

const HEIGHT_AS_MEASURED = { value: (y: number) => y, weight: () => 1 } as const;
/** Constant noise in y is noise/y in ln y. */
const LOGARITHM = { value: Math.log, weight: (y: number) => y * y } as const;

/**
 * Least squares over the samples first … last by normal equations in (t − centre), scaled to ±1: low degrees only.
 * Coefficients ascending in t − centre.
 */
function polynomial(
  { time, signal }: Samples,
  centre: number,
  first: number,
  last: number,
  degree: number,
  { value, weight }: { value: (y: number) => number; weight: (y: number) => number } = HEIGHT_AS_MEASURED,
): readonly number[] {
  const n = degree + 1;
  const scale = Math.max(Math.abs(time[first] - centre), Math.abs(time[last] - centre));
  const moments = new Float64Array(2 * n - 1);
  const right = new Float64Array(n);
  for (let i = first; i <= last; i++) {
    const x = (time[i] - centre) / scale;
    const y = value(signal[i]);
    let power = weight(signal[i]);
    for (let k = 0; k < moments.length; k++) {
      moments[k] += power;
      if (k < n) right[k] += power * y;
      power *= x;
    }
  }
  const matrix = Float64Array.from({ length: n * n }, (_, i) => moments[Math.floor(i / n) + (i % n)]);
  return Array.from(solveSymmetric(matrix, right, n), (c, k) => c / scale ** k);
}

/**
 * Top of the peak about the sample `top`: a cubic through the logarithm of the samples within `reach` and above half of
 * that sample, weighted by the height, which is exact for a Gaussian; the parabola of the highest five where fewer are.
 */
export function apexAround(samples: Samples, top: number, reach: number): { time: number; height: number } {
  const { time, signal } = samples;
  let [first, last] = samplesAround(samples, time[top], reach, 5);
  const half = 0.5 * signal[top];
  for (let i = top; i >= first; i--) if (!(signal[i] > half)) first = i + 1;
  for (let i = top; i <= last; i++) if (!(signal[i] > half)) last = i - 1;
  if (last - first < 4) return parabolaTop(samples, top);
  const c = polynomial(samples, time[top], first, last, 3, LOGARITHM);
  const at = vertexOfCubic(c);
  if (at === undefined || time[top] + at < time[first] || time[top] + at > time[last])
    return parabolaTop(samples, top);
  return { time: time[top] + at, height: Math.exp(c[0] + at * (c[1] + at * (c[2] + at * c[3]))) };
}

function vertexOfCubic([, c1, c2, c3]: readonly number[]): number | undefined {
  const root = c2 * c2 - 3 * c1 * c3;
  if (!(c2 < 0) || root < 0) return undefined;
  // The maximum, written so that it stays exact for c₃ → 0.
  return c1 / (-c2 + Math.sqrt(root));
}

function parabolaTop({ time, signal }: Samples, top: number): { time: number; height: number } {
  const [c0, c1, c2] = polynomial({ time, signal }, time[top], top - 2, top + 2, 2);
  if (!(c2 < 0)) return { time: time[top], height: signal[top] };
  return { time: time[top] - c1 / (2 * c2), height: c0 - c1 ** 2 / (4 * c2) };
}

/** Where the cubic amidst the samples within `reach` meets `level`, nearest to a first estimate of that time. */
export function levelTime(samples: Samples, level: number, estimate: number, reach: number): number {
  let at = estimate;
  for (let turn = 0; turn < 4; turn++) {
    const c = localPolynomial(samples, at, reach, 3);
    const step = rootNear(c, level);
    if (!Number.isFinite(step)) return at;
    at += Math.min(Math.max(step, -reach), reach);
    if (Math.abs(step) < 1e-12 * Math.abs(at)) break;
  }
  return at;
}

/** Newton's root of c₀ + c₁x + c₂x² + c₃x³ = level from 0. */
function rootNear([c0, c1 = 0, c2 = 0, c3 = 0]: readonly number[], level: number): number {
  let x = 0;
  for (let turn = 0; turn < 30; turn++) {
    const slope = c1 + x * (2 * c2 + 3 * x * c3);
    const step = (c0 - level + x * (c1 + x * (c2 + x * c3))) / slope;
    if (!Number.isFinite(step)) return Number.NaN;
    x -= step;
    if (Math.abs(step) <= 1e-14 * Math.abs(x)) break;
  }
  return x;
}

/** Where the tangent of the steepest point about a time meets the base; the cubic amidst the samples has its inflection there. */
export function tangentFootAround(samples: Samples, estimate: number, reach: number): number {
  let at = estimate;
  for (let turn = 0; turn < 3; turn++) {
    const c = localPolynomial(samples, at, reach, 3);
    const inflection = -c[2] / (3 * c[3]);
    if (!Number.isFinite(inflection)) return Number.NaN;
    at += Math.min(Math.max(inflection, -reach), reach);
  }
  const [value, slope] = localPolynomial(samples, at, reach, 3);
  return at - value / slope;
}

/** Greatest unevenness of the sampling interval that passes without a remark (common practice, no source). */
const EVENNESS = 0.01;
/** Equal readings at the maximum that count as a cut top (common practice, no source). */
const PLATEAU = 3;
/** A top is cut, not merely rounded, where the trace leaves it by more than so many steps of its digits. */
const ROUNDED_STEPS = 3;

/**
 * What a person should know of a record before it is used: uneven sampling (an interval more than 1 % off the
 * usual one beyond what the digits of the times explain), gaps, a top of three or more equal readings cut by
 * the detector's range. O(n).
 *
 * @param timeResolution - step of the digits the times were written with, min
 */
export function recordRemarks(time: Float64Array, signal: Float64Array, timeResolution: number): string[] {
  return [...samplingRemarks(time, timeResolution), ...plateauRemarks(time, signal)];
}

function samplingRemarks(time: Float64Array, timeResolution: number): string[] {
  const usual = usualInterval(time);
  const allowed = EVENNESS * usual + 1.01 * timeResolution;
  let worst = 0;
  let at = 0;
  let uneven = 0;
  for (let i = 1; i < time.length; i++) {
    const off = Math.abs(time[i] - time[i - 1] - usual);
    if (off > allowed) uneven++;
    if (off > worst) {
      worst = off;
      at = i;
    }
  }
  if (uneven === 0) return [];
  const interval = time[at] - time[at - 1];
  const share = ((100 * (interval - usual)) / usual).toPrecision(2);
  return [
    `sampling is uneven in ${uneven} of ${time.length - 1} intervals: at ${time[at - 1].toFixed(3)} min the ` +
      `interval is ${Number(share)} % off the usual ${usual.toPrecision(4)} min; readings are kept as they stand`,
  ];
}

/** Median interval, of at most a thousand of them taken evenly over the record. */
function usualInterval(time: Float64Array): number {
  const count = Math.min(1001, time.length - 1);
  const sample = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    const i = 1 + Math.floor((k * (time.length - 1)) / count);
    sample[k] = time[i] - time[i - 1];
  }
  sample.sort();
  return sample[count >> 1];
}

function plateauRemarks(time: Float64Array, signal: Float64Array): string[] {
  const { maximum, step } = extremes(signal);
  if (step === 0) return [`all ${signal.length} readings are equal: was the detector connected?`];
  const longest = longestRun(signal, maximum);
  if (longest.length < PLATEAU) return [];
  const before = longest.start === 0 ? maximum : signal[longest.start - 1];
  const end = longest.start + longest.length;
  const after = end === signal.length ? maximum : signal[end];
  const drop = Math.max(maximum - before, maximum - after);
  if (drop <= ROUNDED_STEPS * step) return [];
  return [
    `the top is cut at ${Number(maximum.toPrecision(6))}: ${longest.length} equal readings from ` +
      `${time[longest.start].toFixed(3)} min on; the detector's range was exceeded, dilute and inject again`,
  ];
}

/** Greatest reading, and the smallest difference between neighbours that is not zero. */
function extremes(signal: Float64Array): { maximum: number; step: number } {
  let maximum = signal[0];
  let step = Number.POSITIVE_INFINITY;
  let last = signal[0];
  for (let i = 1; i < signal.length; i++) {
    const reading = signal[i];
    const difference = reading > last ? reading - last : last - reading;
    if (difference > 0 && difference < step) step = difference;
    if (reading > maximum) maximum = reading;
    last = reading;
  }
  return { maximum, step: step === Number.POSITIVE_INFINITY ? 0 : step };
}

function longestRun(signal: Float64Array, value: number): { start: number; length: number } {
  let longest = { start: 0, length: 0 };
  let start = 0;
  for (let i = 0; i <= signal.length; i++) {
    if (i < signal.length && signal[i] === value) continue;
    if (i - start > longest.length) longest = { start, length: i - start };
    start = i + 1;
  }
  return longest;
}

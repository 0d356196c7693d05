import { robustStandardDeviation } from "../numeric/robust.js";

/** Sums over one area's length beyond this many of their usual scatter are no noise that is the same everywhere. */
const LOUD = 3;
/** A single reading beyond this many of the usual scatter is a spike. */
const SPIKE = 6;
/** With fewer areas' lengths side by side nothing tells what is usual. */
const FEWEST_LENGTHS = 5;

/**
 * Where a record without peaks is as noisy as it usually is, 1 for such samples: neither a spike nor within a stretch
 * of an area's length whose sum lies 3 usual scatters off. What changes from blank to blank in one place (a hump of
 * carbonate, a dip, a corner of the programme) is no noise of the rest of the record. The scatters are 1.4826·MAD,
 * which up to a quarter of such places hardly moves. O(n).
 *
 * @param rest readings less their slow course
 * @param window length of an area, samples
 * @param usable 1 where `rest` may be looked at; what is 0 stays 0
 */
export function quietStretches(rest: Float64Array, window: number, usable: Uint8Array): Uint8Array {
  const n = rest.length;
  const quiet = usable.slice();
  const readings = rest.filter((_, i) => usable[i] === 1);
  if (readings.length === 0) return quiet;
  const highest = SPIKE * robustStandardDeviation(readings);
  if (highest > 0) for (let i = 0; i < n; i++) if (Math.abs(rest[i]) > highest) quiet[i] = 0;
  const length = Math.min(Math.max(1, Math.round(window)), n);
  const { sums, whole } = slidingSums(rest, quiet, length);
  const looks = sums.filter((_, i) => whole[i] === 1);
  if (looks.length < FEWEST_LENGTHS * length) return quiet;
  const usual = robustStandardDeviation(looks);
  if (!(usual > 0)) return quiet;
  const out = quiet.slice();
  for (let i = 0; i < sums.length; i++)
    if (whole[i] && Math.abs(sums[i]) > LOUD * usual) out.fill(0, i, i + length);
  return out;
}

/** Sums from each sample on, and 1 where most of their samples may be looked at. */
function slidingSums(values: Float64Array, usable: Uint8Array, length: number) {
  const count = values.length - length + 1;
  const sums = new Float64Array(count);
  const whole = new Uint8Array(count);
  let sum = 0;
  let used = 0;
  for (let i = 0; i < values.length; i++) {
    sum += usable[i] ? values[i] : 0;
    used += usable[i];
    const start = i - length + 1;
    if (start < 0) continue;
    sums[start] = sum;
    whole[start] = used > 0.9 * length ? 1 : 0;
    sum -= usable[start] ? values[start] : 0;
    used -= usable[start];
  }
  return { sums, whole };
}

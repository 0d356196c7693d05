import { robustStandardDeviation } from "../../numeric/robust.js";

/** Sums over one area's length beyond this many of their usual scatter are no noise that is the same everywhere. */
const LOUD = 4;
/** A reading this many usual scatters off its course, or off the mean of its two neighbours, is no noise. */
const SPIKE = 6;
/** With fewer areas' lengths side by side nothing tells what is usual. */
const FEWEST_LENGTHS = 5;

/**
 * Where a record without peaks is as noisy as it usually is, 1 for such samples: neither a spike nor within a stretch
 * of an area's length whose sum over a line between its two sides lies 4 usual scatters off. What changes from blank to
 * blank in one place (a hump of carbonate, a dip, a corner of the programme) is no noise of the rest of the record. The
 * scatters are 1.4826·MAD, which up to a quarter of such places hardly moves. O(n).
 *
 * @param y readings; level and slow course need not be taken off
 * @param window length of an area, samples
 * @param usable 1 where `y` may be looked at; what is 0 stays 0
 */
export function quietStretches(y: Float64Array, window: number, usable: Uint8Array): Uint8Array {
  const n = y.length;
  const quiet = withoutSpikes(y, usable);
  const length = Math.min(Math.max(2, Math.round(window)), n);
  const { looks, whole, side } = looksAlong(y, quiet, length);
  const seen = looks.filter((_, k) => whole[k] === 1);
  if (seen.length < FEWEST_LENGTHS * length) return quiet;
  const usual = robustStandardDeviation(seen);
  if (!(usual > 0)) return quiet;
  const out = quiet.slice();
  const last = looks.length - 1;
  for (let k = 0; k <= last; k++) {
    if (!whole[k] || Math.abs(looks[k]) <= LOUD * usual) continue;
    // What lies beyond the first and the last look is judged with them.
    out.fill(0, k === 0 ? 0 : k + side, k === last ? n : k + side + length);
  }
  return out;
}

function withoutSpikes(y: Float64Array, usable: Uint8Array): Uint8Array {
  const off = y.map((value, i) => (i === 0 || i === y.length - 1 ? 0 : value - 0.5 * (y[i - 1] + y[i + 1])));
  return withoutWild(off, usable);
}

/**
 * The samples of `usable` whose value lies within 6 usual scatters (1.4826·MAD) of 0: of readings less their course,
 * those on which nothing stands that was not known.
 */
export function withoutWild(values: Float64Array, usable: Uint8Array): Uint8Array {
  const out = usable.slice();
  const looked = values.filter((_, i) => usable[i] === 1);
  if (looked.length === 0) return out;
  const highest = SPIKE * robustStandardDeviation(looked);
  if (highest > 0) for (let i = 0; i < values.length; i++) if (Math.abs(values[i]) > highest) out[i] = 0;
  return out;
}

/**
 * Sums over an area's length less the mean of half a length on either side: blind to level and slope, as an area over
 * its baseline is. With 1 where nearly all of their samples may be looked at. The k-th area begins at sample k + side.
 */
function looksAlong(values: Float64Array, usable: Uint8Array, length: number) {
  const n = values.length;
  const side = Math.max(1, length >> 1);
  const sums = new Float64Array(n + 1);
  const used = new Float64Array(n + 1);
  let last = 0;
  for (let i = 0; i < n; i++) {
    // What may not be looked at is as it was before.
    if (usable[i]) last = values[i];
    sums[i + 1] = sums[i] + last;
    used[i + 1] = used[i] + usable[i];
  }
  const count = Math.max(n - length - 2 * side + 1, 0);
  const looks = new Float64Array(count);
  const whole = new Uint8Array(count);
  for (let k = 0; k < count; k++) {
    const [a, b, c] = [k + side, k + side + length, k + 2 * side + length];
    const sides = sums[a] - sums[k] + sums[c] - sums[b];
    looks[k] = sums[b] - sums[a] - (length / (2 * side)) * sides;
    whole[k] = used[c] - used[k] > 0.9 * (c - k) ? 1 : 0;
  }
  return { looks, whole, side };
}

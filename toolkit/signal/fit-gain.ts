import { solveSymmetric } from "../numeric/symmetric-system.js";

/** How a blank was laid under a record: record ≈ gain·blank(t − shift) + offset. */
export interface BlankAlignment {
  /** min */
  readonly shift: number;
  readonly gain: number;
  /** In the signal's unit. */
  readonly offset: number;
  /** Weighted r.m.s. of what is left, after a straight line. */
  readonly rms: number;
}

/**
 * Weighted least squares of gain, offset and a straight drift for one shift; the gain bounded. The drift is a property of
 * the day, not of the programme: it is fitted so that it does not bend the gain, and left in the record.
 *
 * @param y record, @param b blank at the shifted times, @param w weights ≥ 0: all of one length
 * @param gains lowest and highest gain; equal ones fix it
 */
export function fitGain(
  y: Float64Array,
  b: Float64Array,
  w: Float64Array,
  gains: readonly [number, number],
  shift: number,
): BlankAlignment {
  const free = lineThrough(y, b, w, undefined);
  const gain = Math.min(Math.max(free.gain, gains[0]), gains[1]);
  const { offset, rms } = gain === free.gain ? free : lineThrough(y, b, w, gain);
  return { shift, gain, offset, rms };
}

/** Means and centred products in one pass, what is left in a second: this runs for every shift that is tried. */
function lineThrough(y: Float64Array, b: Float64Array, w: Float64Array, fixed: number | undefined) {
  const n = y.length;
  const [y0, b0] = [y[0], b[0]];
  let [sw, sx, sb, sy, sxx, sxb, sxy, sbb, sby] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const weight = w[i];
    const x = i / n - 0.5;
    const blank = b[i] - b0;
    const value = y[i] - y0;
    sw += weight;
    sx += weight * x;
    sb += weight * blank;
    sy += weight * value;
    sxx += weight * x * x;
    sxb += weight * x * blank;
    sxy += weight * x * value;
    sbb += weight * blank * blank;
    sby += weight * blank * value;
  }
  const gram = Float64Array.of(sw, sx, sb, sx, sxx, sxb, sb, sxb, sbb);
  const [level, slope, gain] =
    fixed === undefined
      ? solveSymmetric(gram, Float64Array.of(sy, sxy, sby), 3)
      : [
          ...solveSymmetric(
            Float64Array.of(sw, sx, sx, sxx),
            Float64Array.of(sy - fixed * sb, sxy - fixed * sxb),
            2,
          ),
          fixed,
        ];
  let rss = 0;
  for (let i = 0; i < n; i++) {
    const left = y[i] - y0 - level - slope * (i / n - 0.5) - gain * (b[i] - b0);
    rss += w[i] * left * left;
  }
  return { gain, offset: level + y0 - gain * b0, rms: Math.sqrt(rss / Math.max(sw, 1e-300)) };
}

/** Shifts within ± `largest`, the best of them refined by halving the step. */
export function bestShift(
  at: (shift: number) => BlankAlignment,
  largest: number,
  finest: number,
): BlankAlignment {
  let best = at(0);
  for (let step = largest / 4; step > finest / 4; step /= 2) {
    for (let moved = true; moved; ) {
      moved = false;
      for (const shift of [best.shift - step, best.shift + step]) {
        if (Math.abs(shift) > largest) continue;
        const tried = at(shift);
        if (tried.rms >= best.rms) continue;
        best = tried;
        moved = true;
      }
    }
  }
  return best;
}

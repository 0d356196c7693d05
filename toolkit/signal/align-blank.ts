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

function lineThrough(y: Float64Array, b: Float64Array, w: Float64Array, fixed: number | undefined) {
  const n = y.length;
  const columns = [new Float64Array(n).fill(1), y.map((_, i) => i / n - 0.5)];
  if (fixed === undefined) columns.push(b);
  const p = columns.length;
  const target = fixed === undefined ? y : y.map((value, i) => value - fixed * b[i]);
  const gram = new Float64Array(p * p);
  const right = new Float64Array(p);
  for (let r = 0; r < p; r++) {
    for (let c = 0; c < p; c++) gram[r * p + c] = weightedDot(columns[r], columns[c], w);
    right[r] = weightedDot(columns[r], target, w);
  }
  const x = solveSymmetric(gram, right, p);
  let rss = 0;
  let sum = 0;
  for (let i = 0; i < n; i++) {
    let left = target[i];
    for (let c = 0; c < p; c++) left -= x[c] * columns[c][i];
    rss += w[i] * left * left;
    sum += w[i];
  }
  return { gain: fixed ?? x[2], offset: x[0], rms: Math.sqrt(rss / Math.max(sum, 1e-300)) };
}

function weightedDot(a: Float64Array, b: Float64Array, w: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += w[i] * a[i] * b[i];
  return sum;
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

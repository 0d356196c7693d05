import {
  CHAIN,
  type Chain,
  eliminateRow,
  leaveChain,
  middleOf,
  newChain,
  penaltyBeside,
  penaltyDiagonal,
  solveMiddle,
} from "../numeric/two-ended-elimination.js";

/** Arguments of the exponential beyond ± this count as this: a weight of 4e-18, or 1 exactly. */
const REACH = 40;
/** The weight at REACH and of all that lies further up. */
const LEAST_WEIGHT = 1 / (1 + Math.exp(REACH));
const PER_UNIT = 32;
/** e^x at every thirty-second from −REACH to REACH. */
const exponentials = Float64Array.from({ length: 2 * REACH * PER_UNIT + 1 }, (_, k) =>
  Math.exp(k / PER_UNIT - REACH),
);

const STEP = 1 / PER_UNIT;
/** Added and taken off again it rounds a number to the nearest integer. */
const ROUNDING = 1.5 * 2 ** 52;

/** 1/(1 + e^x) with x held within ±REACH; the table's step leaves |r| ≤ 1/64, so the series is good to 2e-14. */
function weightOf(x: number): number {
  if (!(x < REACH)) return LEAST_WEIGHT;
  const held = Math.max(x, -REACH);
  const k = held * PER_UNIT + ROUNDING - ROUNDING;
  const r = held - k * STEP;
  const r2 = r * r;
  const series = 1 + r + r2 * (0.5 + r * (1 / 6) + r2 * (1 / 24 + r * (1 / 120)));
  return 1 / (1 + exponentials[(k + REACH * PER_UNIT) | 0] * series);
}

/** The arrays of one arPLS run, all of the record's length: signal, weights, and the elimination's rows. */
export interface ArplsMemory {
  readonly y: Float64Array;
  readonly w: Float64Array;
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** y − z of the last turn. */
  r: Float64Array;
  /** Right sides of the elimination, which the next solution turns into its residuals. */
  q: Float64Array;
  /** Count, sum and sum of squares of the residuals below zero. */
  readonly below: Float64Array;
  /** Σ (w − w′)² and Σ w² of the last turn's inner rows. */
  readonly change: Float64Array;
}

/** Scale and threshold that turn a residual of 0 into a weight of exactly 1: those of the first turn. */
export const FIRST_TURN = { scale: 1, threshold: REACH };

const END_ROWS = 2;

/** Turns every residual below zero into a little less than nothing, which is −1 rounded down. */
const SMALL = 2 ** -500;

/**
 * New weights 1/(1 + exp(scale·(r − threshold))) and, in the same pass, the elimination of (W + λD′D) z = W y from
 * both ends: the exponentials fill the time the two chains of divisions would wait. Leaves the rows in u, v, q.
 *
 * @returns relative change of the weights, |w − w′|/|w|
 */
export function reweightAndEliminate(
  memory: ArplsMemory,
  lambda: number,
  scale: number,
  threshold: number,
): number {
  const { y, r, w, q: out } = memory;
  const n = y.length;
  const p = middleOf(n);
  const [left, right] = [newChain(), newChain()];
  let moved = 0;
  let before = 0;
  const reweighted = (i: number): number => {
    const old = w[i];
    const next = weightOf(scale * (r[i] - threshold));
    before += old * old;
    moved += (next - old) * (next - old);
    w[i] = next;
    return next;
  };
  const plainRow = (i: number, fromLeft: boolean) => {
    const diagonal = lambda * penaltyDiagonal(i, n) + reweighted(i);
    const beside = lambda * penaltyBeside(fromLeft ? i : i - 1, n);
    eliminateRow(fromLeft ? left : right, memory, i, [diagonal, beside, lambda], w[i] * y[i]);
  };
  const paired = n - p - 2;
  for (let i = 0; i < Math.min(END_ROWS, p); i++) plainRow(i, true);
  for (let k = 0; k < Math.min(END_ROWS, paired); k++) plainRow(n - 1 - k, false);
  if (paired > END_ROWS) {
    const { u, v, change } = memory;
    turnInside(y, r, w, u, v, out, change, lambda, scale, threshold, left, right, paired);
    moved += change[0];
    before += change[1];
  }
  if (p > paired && p > END_ROWS) plainRow(p - 1, true);
  const [a, b] = [reweighted(p), reweighted(p + 1)];
  solveMiddle(left, right, out, lambda, [a, b, a * y[p], b * y[p + 1]]);
  return Math.sqrt(moved / before);
}

/**
 * The rows inside, from both ends; a function of its own, because nearly all the time is spent here. No closures, and
 * arrays instead of their holder: compiled code that read a holder's fields would be thrown away with the next holder.
 *
 * Leaves Σ (w − w′)² and Σ w² over these rows in `sums`.
 */
function turnInside(
  y: Float64Array,
  r: Float64Array,
  w: Float64Array,
  u: Float64Array,
  v: Float64Array,
  out: Float64Array,
  sums: Float64Array,
  lambda: number,
  scale: number,
  threshold: number,
  left: Chain,
  right: Chain,
  to: number,
): void {
  const diagonal = 6 * lambda;
  const beside = -4 * lambda;
  const table = exponentials;
  let u1 = left[CHAIN.u1];
  let v1 = left[CHAIN.v1];
  let v2 = left[CHAIN.v2];
  let du1 = left[CHAIN.du1];
  let q1 = left[CHAIN.q1];
  let q2 = left[CHAIN.q2];
  let U1 = right[CHAIN.u1];
  let V1 = right[CHAIN.v1];
  let V2 = right[CHAIN.v2];
  let DU1 = right[CHAIN.du1];
  let Q1 = right[CHAIN.q1];
  let Q2 = right[CHAIN.q2];
  let moved = 0;
  let before = 0;
  for (let i = END_ROWS, j = y.length - 1 - END_ROWS; i < to; i++, j--) {
    // weightOf, twice and written out: a call in here would cost as much as all the rest. Most readings of a crowded
    // record stand in peaks, where nothing is left to work out; they lie together, so that the branch is foretold.
    let x = scale * (r[i] - threshold);
    let X = scale * (r[j] - threshold);
    let next = LEAST_WEIGHT;
    let NEXT = LEAST_WEIGHT;
    if (x < REACH) {
      if (x < -REACH) x = -REACH;
      const k = x * PER_UNIT + ROUNDING - ROUNDING;
      x -= k * STEP;
      const xx = x * x;
      const series = 1 + x + xx * (0.5 + x * (1 / 6) + xx * (1 / 24 + x * (1 / 120)));
      next = 1 / (1 + table[(k + REACH * PER_UNIT) | 0] * series);
    }
    if (X < REACH) {
      if (X < -REACH) X = -REACH;
      const K = X * PER_UNIT + ROUNDING - ROUNDING;
      X -= K * STEP;
      const XX = X * X;
      const SERIES = 1 + X + XX * (0.5 + X * (1 / 6) + XX * (1 / 24 + X * (1 / 120)));
      NEXT = 1 / (1 + table[(K + REACH * PER_UNIT) | 0] * SERIES);
    }
    const old = w[i];
    const OLD = w[j];
    const change = next - old;
    const CHANGE = NEXT - OLD;
    before += old * old + OLD * OLD;
    moved += change * change + CHANGE * CHANGE;
    w[i] = next;
    w[j] = NEXT;
    const inverse = 1 / (diagonal + next - lambda * v2 - du1 * u1);
    const INVERSE = 1 / (diagonal + NEXT - lambda * V2 - DU1 * U1);
    const q = next * y[i] - v2 * q2 - u1 * q1;
    const Q = NEXT * y[j] - V2 * Q2 - U1 * Q1;
    du1 = beside - du1 * v1;
    DU1 = beside - DU1 * V1;
    v2 = v1;
    V2 = V1;
    u1 = du1 * inverse;
    U1 = DU1 * INVERSE;
    v1 = lambda * inverse;
    V1 = lambda * INVERSE;
    u[i] = u1;
    u[j] = U1;
    v[i] = v1;
    v[j] = V1;
    out[i] = q * inverse;
    out[j] = Q * INVERSE;
    q2 = q1;
    Q2 = Q1;
    q1 = q;
    Q1 = Q;
  }
  leaveChain(left, lambda, u1, v1, v2, du1, q1, q2);
  leaveChain(right, lambda, U1, V1, V2, DU1, Q1, Q2);
  sums[0] = moved;
  sums[1] = before;
}

/**
 * From the middle outwards: the solution, its residuals, and what lies below zero in the same pass. The sign of
 * noise cannot be foretold, so nothing branches on it: (e − |e|)/2 is the part below zero.
 */
export function substituteAndMeasure(memory: ArplsMemory): void {
  const { y, r: before, u, v, q, below } = memory;
  const n = y.length;
  const p = middleOf(n);
  const paired = n - p - 2;
  const solution = [q[p], q[p + 1]];
  let first = p;
  if (p > paired) {
    // An odd record has one row more on the left; it is taken first, so that the loop inside runs in pairs.
    first = p - 1;
    solution.unshift(q[first] - u[first] * solution[0] - v[first] * solution[1]);
  }
  below.fill(0);
  solution.forEach((z, k) => {
    const e = y[first + k] - z;
    const low = e - Math.abs(e);
    q[first + k] = e;
    below[0] -= Math.floor(SMALL * low);
    below[1] += low / 2;
    below[2] += (low * low) / 4;
  });
  const last = solution.length - 1;
  substituteInside(y, q, u, v, below, paired, solution[0], solution[1], solution[last], solution[last - 1]);
  memory.r = q;
  memory.q = before;
}

/** The pairs of rows from `paired` − 1 down to 0 and their mirror images, begun from the rows further in. */
function substituteInside(
  y: Float64Array,
  q: Float64Array,
  u: Float64Array,
  v: Float64Array,
  below: Float64Array,
  paired: number,
  inner: number,
  next: number,
  INNER: number,
  NEXT: number,
): void {
  let z1 = inner;
  let z2 = next;
  let Z1 = INNER;
  let Z2 = NEXT;
  let count = 0;
  let sum = 0;
  let squares = 0;
  for (let i = paired - 1, j = y.length - paired; i >= 0; i--, j++) {
    const z = q[i] - u[i] * z1 - v[i] * z2;
    const Z = q[j] - u[j] * Z1 - v[j] * Z2;
    const e = y[i] - z;
    const E = y[j] - Z;
    q[i] = e;
    q[j] = E;
    const low = e - Math.abs(e);
    const LOW = E - Math.abs(E);
    count -= Math.floor(SMALL * low) + Math.floor(SMALL * LOW);
    sum += low + LOW;
    squares += low * low + LOW * LOW;
    z2 = z1;
    z1 = z;
    Z2 = Z1;
    Z1 = Z;
  }
  below[0] += count;
  below[1] += sum / 2;
  below[2] += squares / 4;
}

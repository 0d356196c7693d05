import {
  CHAIN,
  type Chain,
  eliminateRow,
  leaveChain,
  middleOf,
  newChain,
  solveMiddle,
  substituteRow,
} from "../numeric/two-ended-elimination.js";
import { logistic, type Weighing } from "./logistic-weight.js";

/**
 * The loops run over so many rows a call: a function that is called often is soon compiled as a whole, while one long loop
 * would first run in a makeshift that stores every number as an object. Also, what can be seen early is seen early.
 */
const ROWS_AT_ONCE = 512;

/** The arrays of one arPLS run, all of the record's length. Weights are not kept: residuals say what they are. */
export interface ArplsMemory {
  readonly y: Float64Array;
  /** y − z of the last turn. */
  r: Float64Array;
  /**
   * Those of the turn before, until the elimination puts its right sides there, which the next solution turns into its
   * residuals.
   */
  g: Float64Array;
  /** The other number that the elimination keeps of every row, see two-ended-elimination.ts. */
  readonly e: Float64Array;
  /** Count, sum and sum of squares of the residuals below zero. */
  readonly below: Float64Array;
}

/** A constant of this module the compiler follows once for all; what is imported it looks up at every row. */
const weightOf = logistic;

/**
 * The weights of the residuals and, in the same pass, the elimination of (W + λD′D) z = W y from both ends: the
 * exponentials fill the time the two chains of divisions would wait. Leaves the rows in e and g.
 */
export function reweightAndEliminate(memory: ArplsMemory, lambda: number, weighing: Weighing): void {
  const { y, r, e, g } = memory;
  const [rate, offset] = weighing;
  const shares = Float64Array.of(1 / lambda);
  const n = y.length;
  const m = middleOf(n);
  const paired = n - m - 2;
  const [left, right] = [newChain(), newChain()];
  for (let block = 0; block * ROWS_AT_ONCE < paired; block++) {
    eliminatePairs(y, r, e, g, shares, weighing, left, right, block, paired);
  }
  const weighted = (i: number) => weightOf(rate * r[i] - offset) / lambda;
  if (m > paired) eliminateRow(left, memory, m - 1, weighted(m - 1), weighted(m - 1) * y[m - 1]);
  const [a, b] = [weighted(m), weighted(m + 1)];
  solveMiddle(left, right, memory, [a, b, a * y[m], b * y[m + 1]]);
}

/**
 * One block of the first `pairs` rows from both ends; a function of its own, because most of the time is spent here. No
 * closures, and arrays instead of their holder: compiled code that read a holder's fields would be thrown away with the
 * next holder. What comes from an array is known to be a plain double, while a parameter would be asked at every row. For the
 * same reasons the recursion stands here once more beside numeric/whittaker.ts, where the weights are read, not computed.
 */
function eliminatePairs(
  y: Float64Array,
  r: Float64Array,
  departures: Float64Array,
  g: Float64Array,
  shares: Float64Array,
  weighing: Weighing,
  left: Chain,
  right: Chain,
  block: number,
  pairs: number,
): void {
  const share = shares[0];
  const rate = weighing[0];
  const offset = weighing[1];
  const from = block * ROWS_AT_ONCE;
  const to = Math.min(from + ROWS_AT_ONCE, pairs);
  let e = left[CHAIN.e];
  let f1 = left[CHAIN.f1];
  let f2 = left[CHAIN.f2];
  let g1 = left[CHAIN.g1];
  let g2 = left[CHAIN.g2];
  let E = right[CHAIN.e];
  let F1 = right[CHAIN.f1];
  let F2 = right[CHAIN.f2];
  let G1 = right[CHAIN.g1];
  let G2 = right[CHAIN.g2];
  for (let i = from, j = y.length - 1 - from; i < to; i++, j--) {
    const w = share * weightOf(rate * r[i] - offset);
    const W = share * weightOf(rate * r[j] - offset);
    const c = 2 + e;
    const C = 2 + E;
    const t = w + f2 - e * (2 + c) + c * c * f1;
    const T = W + F2 - E * (2 + C) + C * C * F1;
    const p = 1 / (1 + t);
    const P = 1 / (1 + T);
    const q = (w * y[i] + c * g1 - g2) * p;
    const Q = (W * y[j] + C * G1 - G2) * P;
    e = c * f1 - e;
    E = C * F1 - E;
    departures[i] = e;
    departures[j] = E;
    g[i] = q;
    g[j] = Q;
    f2 = f1;
    F2 = F1;
    f1 = t * p;
    F1 = T * P;
    g2 = g1;
    G2 = G1;
    g1 = q;
    G1 = Q;
  }
  leaveChain(left, e, f1, f2, g1, g2);
  leaveChain(right, E, F1, F2, G1, G2);
}

/** From the middle outwards: the solution, its residuals, and what lies below zero in the same pass. */
export function substituteAndMeasure(memory: ArplsMemory): void {
  const { y, r: before, e: departures, g, below } = memory;
  const m = middleOf(y.length);
  const paired = y.length - m - 2;
  if (m > paired) g[m - 1] = substituteRow(memory, m - 1, g[m], g[m + 1]);
  const inner = Float64Array.of(g[paired], g[paired + 1], g[m + 1], g[m]);
  below.fill(0);
  for (let i = paired; i <= m + 1; i++) {
    const e = y[i] - g[i];
    g[i] = e;
    if (!(e < 0)) continue;
    below[0]++;
    below[1] += e;
    below[2] += e * e;
  }
  for (let block = 0; block * ROWS_AT_ONCE < paired; block++)
    substitutePairs(y, departures, g, below, inner, block, paired);
  memory.r = g;
  memory.g = before;
}

/**
 * One block of the pairs of rows, counted from the innermost, begun from the solution of the rows further in, two on each
 * side, which gives way to that of the last two. The sign of noise cannot be foretold, so nothing branches on
 * it: (e − |e|)/2 is the part below zero.
 */
function substitutePairs(
  y: Float64Array,
  departures: Float64Array,
  g: Float64Array,
  below: Float64Array,
  inner: Float64Array,
  block: number,
  pairs: number,
): void {
  const from = pairs - block * ROWS_AT_ONCE;
  const to = Math.max(from - ROWS_AT_ONCE, 0);
  let z1 = inner[0];
  let z2 = inner[1];
  let Z1 = inner[2];
  let Z2 = inner[3];
  let slope = z1 - z2;
  let SLOPE = Z1 - Z2;
  let own = departures[from];
  let OWN = departures[departures.length - 1 - from];
  let count = 0;
  let sum = 0;
  let squares = 0;
  for (let i = from - 1, j = y.length - from; i >= to; i--, j++) {
    const outer = departures[i];
    const OUTER = departures[j];
    const f = (own + outer) / (2 + outer);
    const F = (OWN + OUTER) / (2 + OUTER);
    slope += g[i] - own * z1 + f * z2;
    SLOPE += g[j] - OWN * Z1 + F * Z2;
    own = outer;
    OWN = OUTER;
    z2 = z1;
    Z2 = Z1;
    z1 += slope;
    Z1 += SLOPE;
    const e = y[i] - z1;
    const E = y[j] - Z1;
    g[i] = e;
    g[j] = E;
    const low = e - Math.abs(e);
    const LOW = E - Math.abs(E);
    count += (Number(e < 0) + Number(E < 0)) | 0;
    sum += low + LOW;
    squares += low * low + LOW * LOW;
  }
  inner[0] = z1;
  inner[1] = z2;
  inner[2] = Z1;
  inner[3] = Z2;
  below[0] += count;
  below[1] += sum / 2;
  below[2] += squares / 4;
}

/**
 * True when the weights moved by less than the tolerance from the last turn to this one, |w − w′|/|w| < tolerance. No
 * weight exceeds 1, so that a few rows mostly show that they did move; only towards the end all are compared.
 */
export function weightsSettled(
  { r, g: before }: ArplsMemory,
  last: Weighing,
  now: Weighing,
  tolerance: number,
): boolean {
  const n = r.length;
  const sums = new Float64Array(2);
  for (let block = 0; block * ROWS_AT_ONCE < n; block++) {
    addChange(before, r, last, now, sums, block);
    const unseen = Math.max(n - (block + 1) * ROWS_AT_ONCE, 0);
    if (sums[0] >= tolerance * tolerance * (sums[1] + unseen)) return false;
  }
  return Math.sqrt(sums[0] / sums[1]) < tolerance;
}

/** Adds Σ (w − w′)² and Σ w′² of one block of rows to `sums`, w′ being the weights of the turn before. */
function addChange(
  before: Float64Array,
  r: Float64Array,
  last: Weighing,
  now: Weighing,
  sums: Float64Array,
  block: number,
): void {
  const oldRate = last[0];
  const oldOffset = last[1];
  const rate = now[0];
  const offset = now[1];
  const from = block * ROWS_AT_ONCE;
  const to = Math.min(from + ROWS_AT_ONCE, r.length);
  let moved = 0;
  let squares = 0;
  for (let i = from; i < to; i++) {
    const old = weightOf(oldRate * before[i] - oldOffset);
    const change = weightOf(rate * r[i] - offset) - old;
    moved += change * change;
    squares += old * old;
  }
  sums[0] += moved;
  sums[1] += squares;
}

/** Writes the weights of these residuals into `out`, which may be the same array. */
export function weightsInto(out: Float64Array, r: Float64Array, weighing: Weighing): void {
  const [rate, offset] = weighing;
  for (let i = 0; i < out.length; i++) out[i] = weightOf(rate * r[i] - offset);
}

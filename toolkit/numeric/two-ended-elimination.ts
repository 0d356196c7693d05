/**
 * What the elimination of a pentadiagonal system W + λD′D shares between its two directions. It runs from both ends
 * towards the middle at once: two chains that do not wait for each other, so the processor works on both.
 *
 * Left rows 0 … p − 1, right rows n − 1 … p + 2 (p = ⌊(n − 1)/2⌋), and rows p, p + 1 remain as a 2 × 2 system.
 */

/** Number of rows eliminated from the left; the rows `p` and `p + 1` are the middle. */
export function middleOf(n: number): number {
  return (n - 1) >> 1;
}

/** Diagonal entry i of D′D, second differences over n points. */
export function penaltyDiagonal(i: number, n: number): number {
  return (i <= n - 3 ? 1 : 0) + (i >= 1 && i <= n - 2 ? 4 : 0) + (i >= 2 ? 1 : 0);
}

/** Entry (i, i + 1) of D′D. */
export function penaltyBeside(i: number, n: number): number {
  return (i <= n - 3 ? -2 : 0) + (i >= 1 ? -2 : 0);
}

/**
 * One end's chain: u, v, d·u, d·v and right side of the row before, and v, d·v, right side of the row before that, in
 * the order of `CHAIN`. A typed array, so that a hot loop that starts from it computes with plain doubles.
 */
export type Chain = Float64Array;

export const CHAIN = { u1: 0, v1: 1, v2: 2, du1: 3, dv1: 4, dv2: 5, q1: 6, q2: 7 } as const;

export function newChain(): Chain {
  return new Float64Array(8);
}

/**
 * Leaves a chain where a loop over inner rows left it: there d·v is λ in every row. Element by element: a literal would
 * be an allocation inside the hottest functions, whose compiled code the collector then throws away once.
 */
export function leaveChain(
  chain: Chain,
  lambda: number,
  u1: number,
  v1: number,
  v2: number,
  du1: number,
  q1: number,
  q2: number,
): void {
  chain[CHAIN.u1] = u1;
  chain[CHAIN.v1] = v1;
  chain[CHAIN.v2] = v2;
  chain[CHAIN.du1] = du1;
  chain[CHAIN.dv1] = lambda;
  chain[CHAIN.dv2] = lambda;
  chain[CHAIN.q1] = q1;
  chain[CHAIN.q2] = q2;
}

export interface Rows {
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly q: Float64Array;
}

/** Eliminates row i of a chain: the plain form, for the few rows at the ends that differ from the rest. */
export function eliminateRow(
  chain: Chain,
  rows: Rows,
  i: number,
  entries: readonly [diagonal: number, beside: number, next: number],
  right: number,
): void {
  const [diagonal, beside, next] = entries;
  const [u1, v1, v2, du1, dv1, dv2, q1, q2] = chain;
  const inverse = 1 / (diagonal - du1 * u1 - dv2 * v2);
  const du = beside - du1 * v1;
  const q = right - u1 * q1 - v2 * q2;
  rows.u[i] = du * inverse;
  rows.v[i] = next * inverse;
  rows.q[i] = q * inverse;
  chain.set([rows.u[i], rows.v[i], v1, du, next, dv1, q, q1]);
}

/** The 2 × 2 system where the chains meet; its solution goes to q[p] and q[p + 1]. */
export function solveMiddle(
  left: Chain,
  right: Chain,
  q: Float64Array,
  lambda: number,
  own: readonly [weightP: number, weightNext: number, rightP: number, rightNext: number],
): void {
  const n = q.length;
  const p = middleOf(n);
  const [wp, wn, rp, rn] = own;
  const [u1, v1, v2, du1, dv1, dv2, q1, q2] = left;
  const [U1, V1, V2, DU1, DV1, DV2, Q1, Q2] = right;
  const a = lambda * penaltyDiagonal(p, n) + wp - du1 * u1 - dv2 * v2 - DV1 * V1;
  const c = lambda * penaltyDiagonal(p + 1, n) + wn - DU1 * U1 - DV2 * V2 - dv1 * v1;
  const b = lambda * penaltyBeside(p, n) - du1 * v1 - DU1 * V1;
  const f = rp - u1 * q1 - v2 * q2 - V1 * Q1;
  const g = rn - U1 * Q1 - V2 * Q2 - v1 * q1;
  const determinant = a * c - b * b;
  q[p] = (c * f - b * g) / determinant;
  q[p + 1] = (a * g - b * f) / determinant;
}

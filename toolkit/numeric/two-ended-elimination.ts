/**
 * What the elimination of a pentadiagonal system (W + λD′D) z = W y shares between its two directions. It runs from both
 * ends towards the middle at once: two chains that do not wait for each other, so the processor works on both.
 *
 * All is divided by λ: ω = w/λ. A record is taken as continued at both ends by readings without weight, which changes
 * nothing (a straight line costs nothing) and makes every row of D′D the same: 1 −4 6 −4 1. Where nothing has weight the
 * pivots are 1 and z goes on in a straight line, zᵢ = 2zᵢ₊₁ − zᵢ₊₂. A stiff system is close to that everywhere, so what
 * is kept is how far it departs from it, which does not drown in rounding: 1/(1 + tᵢ) are the pivots' inverses, and
 *     eᵢ = cᵢ₋₁fᵢ₋₁ − eᵢ₋₁,   cᵢ = 2 + eᵢ
 *     tᵢ = ωᵢ + fᵢ₋₂ + cᵢ₋₁²fᵢ₋₁ − eᵢ₋₁(4 + eᵢ₋₁),   fᵢ = tᵢ/(1 + tᵢ),   gᵢ = (ωᵢyᵢ + cᵢ₋₁gᵢ₋₁ − gᵢ₋₂)/(1 + tᵢ)
 * The solution returns from the middle as a slope that changes by
 *     (zᵢ − zᵢ₊₁) − (zᵢ₊₁ − zᵢ₊₂) = gᵢ − eᵢ₊₁zᵢ₊₁ + fᵢzᵢ₊₂,   fᵢ = (eᵢ₊₁ + eᵢ)/cᵢ
 * so that two numbers a row, e (between 0 and 2) and g, are all that has to be kept.
 *
 * Left rows 0 … m − 1, right rows n − 1 … m + 2 (m = ⌊(n − 1)/2⌋), and rows m, m + 1 remain as a 2 × 2 system.
 *
 * @source elimination LDL′, its form in departures derived here
 */

/** Number of rows eliminated from the left; the rows `m` and `m + 1` are the middle. */
export function middleOf(n: number): number {
  return (n - 1) >> 1;
}

/**
 * One end's chain: e, f and g of the row before, f and g of the row before that, in the order of `CHAIN`. A typed array,
 * so that a hot loop that starts from it computes with plain doubles.
 */
export type Chain = Float64Array;

export const CHAIN = { e: 0, f1: 1, f2: 2, g1: 3, g2: 4 } as const;

/** A chain before its first row: what readings without weight leave, however many. */
export function newChain(): Chain {
  return new Float64Array(5);
}

/**
 * Leaves a chain where a loop left it. Element by element: a literal would be an allocation inside the hottest functions,
 * whose compiled code the collector then throws away once.
 */
export function leaveChain(chain: Chain, e: number, f1: number, f2: number, g1: number, g2: number): void {
  chain[CHAIN.e] = e;
  chain[CHAIN.f1] = f1;
  chain[CHAIN.f2] = f2;
  chain[CHAIN.g1] = g1;
  chain[CHAIN.g2] = g2;
}

/** What the elimination keeps of every row. */
export interface Rows {
  readonly e: Float64Array;
  readonly g: Float64Array;
}

/** Eliminates row i of a chain: the plain form, for the one row that a record of odd length has more on the left. */
export function eliminateRow(chain: Chain, rows: Rows, i: number, weight: number, right: number): void {
  const [e, f1, f2, g1, g2] = chain;
  const c = 2 + e;
  const t = weight + f2 + c * c * f1 - e * (2 + c);
  rows.e[i] = c * f1 - e;
  rows.g[i] = (right + c * g1 - g2) / (1 + t);
  leaveChain(chain, rows.e[i], t / (1 + t), f1, rows.g[i], g1);
}

/** The same row on the way back, from the solution of the two rows further in. */
export function substituteRow({ e, g }: Rows, i: number, inner: number, next: number): number {
  const f = (e[i + 1] + e[i]) / (2 + e[i]);
  return inner + (inner - next + (g[i] - e[i + 1] * inner + f * next));
}

/** The 2 × 2 system where the chains meet; its solution goes to g[m] and g[m + 1], and e is continued to both rows. */
export function solveMiddle(
  left: Chain,
  right: Chain,
  rows: Rows,
  own: readonly [weightM: number, weightNext: number, rightM: number, rightNext: number],
): void {
  const m = middleOf(rows.g.length);
  const [wm, wn, rm, rn] = own;
  const [e, f1, f2, g1, g2] = left;
  const [E, F1, F2, G1, G2] = right;
  const [c, C] = [2 + e, 2 + E];
  rows.e[m] = c * f1 - e;
  rows.e[m + 1] = C * F1 - E;
  const diagonal = wm + f2 + c * c * f1 - e * (2 + c) + F1;
  const DIAGONAL = wn + F2 + C * C * F1 - E * (2 + C) + f1;
  const beside = rows.e[m] + rows.e[m + 1];
  const q = rm + c * g1 - g2 - G1;
  const Q = rn + C * G1 - G2 - g1;
  const determinant = diagonal * DIAGONAL - beside * beside;
  rows.g[m] = (DIAGONAL * q + beside * Q) / determinant;
  rows.g[m + 1] = (diagonal * Q + beside * q) / determinant;
}

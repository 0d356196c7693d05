import {
  CHAIN,
  type Chain,
  eliminateRow,
  leaveChain,
  middleOf,
  newChain,
  type Rows,
  solveMiddle,
  substituteRow,
} from "./two-ended-elimination.js";

/**
 * The linear heart of every penalised baseline: minimises Σ wᵢ(yᵢ − zᵢ)² + λ Σ (Δ²zᵢ)².
 *
 * (W + λ D′D) z = W y, where D′D is pentadiagonal (1 5 6 … 6 5 1 | −2 −4 … −4 −2 | 1 … 1), is solved by an
 * exact LDL′ elimination in O(n) time from both ends to the middle, with all memory owned by the solver so that a re-weighting loop
 * allocates nothing.
 */
export interface WhittakerSolver {
  readonly length: number;
  /** Writes the solution for these values, weights (≥ 0) and stiffness (> 0) into `out`. */
  solveInto(out: Float64Array, y: Float64Array, weights: Float64Array, lambda: number): void;
  /** Writes (W + λD′D)⁻¹·right into `out`: with right = a, W times it says how z depends on y in Σ aᵢzᵢ. */
  solveRightInto(out: Float64Array, right: Float64Array, weights: Float64Array, lambda: number): void;
}

/**
 * A solver for records of `length` points (at least 3); two work arrays of that length. The elimination is that of
 * two-ended-elimination.ts.
 *
 * @throws RangeError when length < 3: a fault of the caller inside the toolkit.
 * @source P. H. C. Eilers, Anal. Chem. 75 (2003) 3631 (method; from memory); elimination derived.
 */
export function createWhittakerSolver(length: number): WhittakerSolver {
  if (!(length >= 3)) throw new RangeError(`Whittaker solver needs at least 3 points, got ${length}`);
  const e = new Float64Array(length);
  const weighted = new Float64Array(length);
  const solver: WhittakerSolver = {
    length,
    solveInto(out, y, weights, lambda) {
      for (let i = 0; i < length; i++) weighted[i] = weights[i] * y[i];
      solver.solveRightInto(out, weighted, weights, lambda);
    },
    solveRightInto(out, right, weights, lambda) {
      const rows = { e, g: out };
      eliminate(rows, right, weights, lambda);
      substitute(rows);
    },
  };
  return solver;
}

function eliminate(rows: Rows, right: Float64Array, weights: Float64Array, lambda: number): void {
  const n = right.length;
  const m = middleOf(n);
  const paired = n - m - 2;
  const [left, other] = [newChain(), newChain()];
  eliminatePairs(rows.e, rows.g, right, weights, lambda, left, other, paired);
  const share = 1 / lambda;
  if (m > paired) eliminateRow(left, rows, m - 1, share * weights[m - 1], share * right[m - 1]);
  const [wm, wn, rm, rn] = [weights[m], weights[m + 1], right[m], right[m + 1]].map((own) => share * own);
  solveMiddle(left, other, rows, [wm, wn, rm, rn]);
}

/** The first `pairs` rows from both ends: one loop, two chains. */
function eliminatePairs(
  departures: Float64Array,
  g: Float64Array,
  right: Float64Array,
  weights: Float64Array,
  lambda: number,
  left: Chain,
  other: Chain,
  pairs: number,
): void {
  const share = 1 / lambda;
  let e = left[CHAIN.e];
  let f1 = left[CHAIN.f1];
  let f2 = left[CHAIN.f2];
  let g1 = left[CHAIN.g1];
  let g2 = left[CHAIN.g2];
  let E = other[CHAIN.e];
  let F1 = other[CHAIN.f1];
  let F2 = other[CHAIN.f2];
  let G1 = other[CHAIN.g1];
  let G2 = other[CHAIN.g2];
  for (let i = 0, j = g.length - 1; i < pairs; i++, j--) {
    const w = share * weights[i];
    const W = share * weights[j];
    const c = 2 + e;
    const C = 2 + E;
    const t = w + f2 - e * (2 + c) + c * c * f1;
    const T = W + F2 - E * (2 + C) + C * C * F1;
    const p = 1 / (1 + t);
    const P = 1 / (1 + T);
    const q = (share * right[i] + c * g1 - g2) * p;
    const Q = (share * right[j] + C * G1 - G2) * P;
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
  leaveChain(other, E, F1, F2, G1, G2);
}

/** From the middle outwards; g turns into the solution. */
function substitute(rows: Rows): void {
  const { e, g } = rows;
  const n = g.length;
  const m = middleOf(n);
  const paired = n - m - 2;
  if (m > paired) g[m - 1] = substituteRow(rows, m - 1, g[m], g[m + 1]);
  const [z1, z2] = [g[paired], g[paired + 1]];
  const [Z1, Z2] = [g[m + 1], g[m]];
  substitutePairs(e, g, paired, z1, z2, Z1, Z2);
}

function substitutePairs(
  departures: Float64Array,
  g: Float64Array,
  pairs: number,
  inner: number,
  next: number,
  INNER: number,
  NEXT: number,
): void {
  let z1 = inner;
  let z2 = next;
  let Z1 = INNER;
  let Z2 = NEXT;
  let own = departures[pairs];
  let OWN = departures[departures.length - 1 - pairs];
  let slope = z1 - z2;
  let SLOPE = Z1 - Z2;
  for (let i = pairs - 1, j = g.length - pairs; i >= 0; i--, j++) {
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
    g[i] = z1;
    g[j] = Z1;
  }
}

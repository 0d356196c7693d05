import {
  CHAIN,
  type Chain,
  eliminateRow,
  leaveChain,
  middleOf,
  newChain,
  penaltyBeside,
  penaltyDiagonal,
  type Rows,
  solveMiddle,
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
  /** Writes the solution for these values, weights (≥ 0) and stiffness into `out`. */
  solveInto(out: Float64Array, y: Float64Array, weights: Float64Array, lambda: number): void;
  /** Writes (W + λD′D)⁻¹·right into `out`: with right = a, W times it says how z depends on y in Σ aᵢzᵢ. */
  solveRightInto(out: Float64Array, right: Float64Array, weights: Float64Array, lambda: number): void;
}

/**
 * A solver for records of `length` points (at least 3); three work arrays of that length.
 *
 * Elimination, with A = W + λD′D and terms outside the matrix zero:
 *     dᵢ = Aᵢᵢ − dᵢ₋₁uᵢ₋₁² − dᵢ₋₂vᵢ₋₂²,  uᵢ = (Aᵢ,ᵢ₊₁ − dᵢ₋₁uᵢ₋₁vᵢ₋₁)/dᵢ,  vᵢ = λ/dᵢ
 *
 * @throws RangeError when length < 3: a fault of the caller inside the toolkit.
 * @source P. H. C. Eilers, Anal. Chem. 75 (2003) 3631 (method; from memory); elimination derived.
 */
export function createWhittakerSolver(length: number): WhittakerSolver {
  if (!(length >= 3)) throw new RangeError(`Whittaker solver needs at least 3 points, got ${length}`);
  const u = new Float64Array(length);
  const v = new Float64Array(length);
  const weighted = new Float64Array(length);
  const solver: WhittakerSolver = {
    length,
    solveInto(out, y, weights, lambda) {
      for (let i = 0; i < length; i++) weighted[i] = weights[i] * y[i];
      solver.solveRightInto(out, weighted, weights, lambda);
    },
    solveRightInto(out, right, weights, lambda) {
      eliminate(out, right, weights, lambda, u, v);
      substitute(out, u, v);
    },
  };
  return solver;
}

/** Rows of each end that the plain form eliminates before the fast loop may run. */
const END_ROWS = 2;

function eliminate(
  out: Float64Array,
  right: Float64Array,
  weights: Float64Array,
  lambda: number,
  u: Float64Array,
  v: Float64Array,
): void {
  const n = out.length;
  const p = middleOf(n);
  const rows = { u, v, q: out };
  const [left, other] = [newChain(), newChain()];
  const fast = n - p - 2;
  const leftRow = (i: number) =>
    eliminateRow(
      left,
      rows,
      i,
      [lambda * penaltyDiagonal(i, n) + weights[i], lambda * penaltyBeside(i, n), lambda],
      right[i],
    );
  const otherRow = (j: number) =>
    eliminateRow(
      other,
      rows,
      j,
      [lambda * penaltyDiagonal(j, n) + weights[j], lambda * penaltyBeside(j - 1, n), lambda],
      right[j],
    );
  for (let i = 0; i < Math.min(END_ROWS, p); i++) leftRow(i);
  for (let k = 0; k < Math.min(END_ROWS, fast); k++) otherRow(n - 1 - k);
  if (fast > END_ROWS) eliminateInside(rows, right, weights, lambda, left, other, fast);
  if (p > fast && p > END_ROWS) leftRow(p - 1);
  solveMiddle(left, other, out, lambda, [weights[p], weights[p + 1], right[p], right[p + 1]]);
}

/** Rows END_ROWS … to − 1 counted from both ends: one loop, two chains. */
function eliminateInside(
  { u, v, q: out }: Rows,
  right: Float64Array,
  weights: Float64Array,
  lambda: number,
  left: Chain,
  other: Chain,
  to: number,
): void {
  const diagonal = 6 * lambda;
  const beside = -4 * lambda;
  const n = out.length;
  let u1 = left[CHAIN.u1];
  let v1 = left[CHAIN.v1];
  let v2 = left[CHAIN.v2];
  let du1 = left[CHAIN.du1];
  let q1 = left[CHAIN.q1];
  let q2 = left[CHAIN.q2];
  let U1 = other[CHAIN.u1];
  let V1 = other[CHAIN.v1];
  let V2 = other[CHAIN.v2];
  let DU1 = other[CHAIN.du1];
  let Q1 = other[CHAIN.q1];
  let Q2 = other[CHAIN.q2];
  for (let i = END_ROWS, j = n - 1 - END_ROWS; i < to; i++, j--) {
    const inverse = 1 / (diagonal + weights[i] - lambda * v2 - du1 * u1);
    const INVERSE = 1 / (diagonal + weights[j] - lambda * V2 - DU1 * U1);
    const q = right[i] - v2 * q2 - u1 * q1;
    const Q = right[j] - V2 * Q2 - U1 * Q1;
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
  leaveChain(other, lambda, U1, V1, V2, DU1, Q1, Q2);
}

function substitute(out: Float64Array, u: Float64Array, v: Float64Array): void {
  const n = out.length;
  const p = middleOf(n);
  let z1 = out[p];
  let z2 = out[p + 1];
  let Z1 = z2;
  let Z2 = z1;
  for (let i = p - 1, j = p + 2; i >= 0; i--, j++) {
    const z = out[i] - u[i] * z1 - v[i] * z2;
    out[i] = z;
    z2 = z1;
    z1 = z;
    if (j < n) {
      const Z = out[j] - u[j] * Z1 - v[j] * Z2;
      out[j] = Z;
      Z2 = Z1;
      Z1 = Z;
    }
  }
}

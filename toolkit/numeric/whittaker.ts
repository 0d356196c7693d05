/**
 * The linear heart of every penalised baseline: minimises Σ wᵢ(yᵢ − zᵢ)² + λ Σ (Δ²zᵢ)².
 *
 * (W + λ D′D) z = W y, where D′D is pentadiagonal (1 5 6 … 6 5 1 | −2 −4 … −4 −2 | 1 … 1), is solved by an
 * exact LDL′ elimination in O(n) time, with all memory owned by the solver so that a re-weighting loop
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

function eliminate(
  out: Float64Array,
  right: Float64Array,
  weights: Float64Array,
  lambda: number,
  u: Float64Array,
  v: Float64Array,
): void {
  const n = out.length;
  const diagonalInside = 6 * lambda;
  const offInside = -4 * lambda;
  let u1 = 0;
  let v1 = 0;
  let v2 = 0;
  let du1 = 0; // d·u of the row before
  let dv1 = 0; // d·v of the row before
  let dv2 = 0; // d·v two rows before
  let q1 = 0;
  let q2 = 0;
  for (let i = 0; i < n; i++) {
    // Two rows at each end differ from the rest.
    let diagonal = diagonalInside;
    let off = offInside;
    if (i < 2 || i > n - 3) {
      const edge = Math.min(i, n - 1 - i);
      diagonal = edge === 0 ? lambda : edge === 1 ? 5 * lambda : diagonalInside;
      off = i === n - 1 ? 0 : i === 0 || i === n - 2 ? -2 * lambda : offInside;
    }
    const inverse = 1 / (diagonal + weights[i] - du1 * u1 - dv2 * v2);
    const du = off - du1 * v1;
    const dv = i < n - 2 ? lambda : 0;
    const q = right[i] - u1 * q1 - v2 * q2;
    const ui = du * inverse;
    const vi = dv * inverse;
    u[i] = ui;
    v[i] = vi;
    out[i] = q * inverse;
    v2 = v1;
    dv2 = dv1;
    u1 = ui;
    v1 = vi;
    du1 = du;
    dv1 = dv;
    q2 = q1;
    q1 = q;
  }
}

function substitute(out: Float64Array, u: Float64Array, v: Float64Array): void {
  const n = out.length;
  let z1 = out[n - 1];
  let z2 = 0;
  for (let i = n - 2; i >= 0; i--) {
    const z = out[i] - u[i] * z1 - v[i] * z2;
    out[i] = z;
    z2 = z1;
    z1 = z;
  }
}

/** Weights of one window, unit interval; each row one sample, read by `k·window`. */
export interface WindowWeights {
  readonly window: number;
  /** Row k (0 … half): the derivative of the window's polynomial k samples behind its middle. */
  readonly rows: Float64Array;
}

/** Windows beyond this are worked out afresh: a table of every kept one would be large. */
const WIDEST_KEPT = 255;
const MOST_KEPT = 16;
const kept = new Map<string, WindowWeights>();

/**
 * Weights hₖ = Σ_m P_m(k) P_m^(d)(at)/‖P_m‖² at the middle of a window and at every sample behind it; those before the
 * middle are their mirror images, times −1 for odd derivatives. The last few windows are kept: their polynomials take
 * longer than a record of some thousand samples.
 */
export function windowWeights(half: number, degree: number, derivative: number): WindowWeights {
  const name = `${half} ${degree} ${derivative}`;
  const found = kept.get(name);
  if (found !== undefined) return found;
  const made = workedOut(half, degree, derivative);
  if (made.window > WIDEST_KEPT) return made;
  if (kept.size === MOST_KEPT) for (const oldest of [...kept.keys()].slice(0, 1)) kept.delete(oldest);
  kept.set(name, made);
  return made;
}

function workedOut(half: number, degree: number, derivative: number): WindowWeights {
  const window = 2 * half + 1;
  const rows = new Float64Array((half + 1) * window);
  const scale = half ** derivative;
  // Monic orthogonal polynomials on −1 … 1 by their recursion: order d of the derivative in row d.
  let before = Array.from({ length: derivative + 1 }, () => new Float64Array(window));
  let own = before.map((row, d) => row.map(() => (d === 0 ? 1 : 0)));
  let normBefore = 1;
  for (let m = 0; m <= degree; m++) {
    const norm = own[0].reduce((sum, p) => sum + p * p, 0);
    for (let k = 0; k <= half; k++) {
      const factor = own[derivative][half + k] / (norm * scale);
      for (let i = 0; i < window; i++) rows[k * window + i] += factor * own[0][i];
    }
    const b = m === 0 ? 0 : norm / normBefore;
    const [p, q] = [own, before];
    own = p.map((row, d) =>
      row.map((value, i) => ((i - half) / half) * value + (d > 0 ? d * p[d - 1][i] : 0) - b * q[d][i]),
    );
    [before, normBefore] = [p, norm];
  }
  return { window, rows };
}

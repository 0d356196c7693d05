import { solveSymmetric } from "../numeric/symmetric-system.js";
import { createWhittakerSolver } from "../numeric/whittaker.js";

/** How a blank was laid under a record: record ≈ gain·blank(t − shift) + offset. */
export interface BlankAlignment {
  /** min */
  readonly shift: number;
  readonly gain: number;
  /** In the signal's unit. */
  readonly offset: number;
  /**
   * Weighted r.m.s. of what neither the blank nor a smooth wander explains, in the signal's unit; what an unusual shift and
   * gain cost is in it.
   */
  readonly rms: number;
}

/** Costs of a shift by 1 min and of a gain of 2, in weighted squares of the signal's unit; 0: nothing is unusual. */
export interface UsualAlignment {
  readonly shift: number;
  readonly gain: number;
}

/** Gains of a blank beside a smooth wander, for one record and its weights. */
export interface GainFit {
  /** The best gain of a blank laid at one shift; equal `gains` fix it. */
  at(blank: Float64Array, gains: readonly [lowest: number, highest: number], shift: number): BlankAlignment;
  /** What is left of the record by an alignment, wander taken off, in the signal's unit. */
  left(blank: Float64Array, alignment: BlankAlignment): Float64Array;
}

/**
 * Weighted least squares of a blank's gain beside a smooth wander z, which is the day's and not the programme's:
 *
 *     minimise Σ wᵢ(yᵢ − g·bᵢ − zᵢ)² + λΣ(Δ²zᵢ)² + c(g − 1)² + d·δ²
 *     g = (⟨b, y⟩ + c)/(⟨b, b⟩ + c),   ⟨u, v⟩ = Σ wᵢuᵢ(v − Sv)ᵢ,   S = (W + λD′D)⁻¹W
 *
 * so that only bends sharper than λ lets z follow tell shift and gain. O(n) for each fit.
 *
 * @param y record, evenly spaced, at least 3 values, @param w weights ≥ 0, @param lambda stiffness of the wander
 * @param usual c and d
 */
export function gainFitBesideWander(
  y: Float64Array,
  w: Float64Array,
  lambda: number,
  usual: UsualAlignment,
): GainFit {
  const solver = createWhittakerSolver(y.length);
  const smooth = new Float64Array(y.length);
  const sharpOf = (u: Float64Array): Float64Array => {
    solver.solveInto(smooth, u, w, lambda);
    return u.map((value, i) => value - smooth[i]);
  };
  const total = Math.max(sum(w), Number.MIN_VALUE);
  const centre = (u: Float64Array, level: number) => u.map((value) => value - level);
  const level = dot(w, y) / total;
  const centred = centre(y, level);
  const sharp = sharpOf(centred);
  const ofRecord = dot(w, centred, sharp);
  return {
    at(blank, [lowest, highest], shift) {
      const own = dot(w, blank) / total;
      const b = centre(blank, own);
      const bb = dot(w, b, sharpOf(b));
      const by = dot(w, b, sharp);
      const told = bb + usual.gain;
      const gain = Math.min(Math.max(told > 0 ? (by + usual.gain) / told : 1, lowest), highest);
      const left = Math.max(ofRecord - 2 * gain * by + gain * gain * bb, 0);
      const unusual = usual.shift * shift ** 2 + usual.gain * (gain - 1) ** 2;
      return { shift, gain, offset: level - gain * own, rms: Math.sqrt((left + unusual) / total) };
    },
    left: (blank, { gain, offset }) => sharpOf(y.map((value, i) => value - gain * blank[i] - offset)),
  };
}

const sum = (values: Float64Array) => values.reduce((total, value) => total + value, 0);

/** Σ wᵢaᵢbᵢ; without b, Σ wᵢaᵢ. */
function dot(w: Float64Array, a: Float64Array, b?: Float64Array): number {
  let total = 0;
  for (let i = 0; i < a.length; i++) total += w[i] * a[i] * (b === undefined ? 1 : b[i]);
  return total;
}

/** Weighted r.m.s. of the readings about a straight line, in the signal's unit. */
export function spreadAboutLine(y: Float64Array, w: Float64Array): number {
  const n = y.length;
  let [sw, sx, sy, sxx, sxy] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const x = i / n - 0.5;
    const value = y[i] - y[0];
    sw += w[i];
    sx += w[i] * x;
    sy += w[i] * value;
    sxx += w[i] * x * x;
    sxy += w[i] * x * value;
  }
  const [level, slope] = solveSymmetric(Float64Array.of(sw, sx, sx, sxx), Float64Array.of(sy, sxy), 2);
  let left = 0;
  for (let i = 0; i < n; i++) left += w[i] * (y[i] - y[0] - level - slope * (i / n - 0.5)) ** 2;
  return Math.sqrt(left / Math.max(sw, 1e-300));
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

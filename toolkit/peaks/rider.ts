import { nonNegativeFromNormal } from "../numeric/nnls-normal.js";
import { emg } from "./emg.js";
import type { ShapeInSamples } from "./integration-window.js";

/** Exponential decays offered to the giant's tail, in units of σ. */
const DECAYS = [0.25, 0.35, 0.5, 0.7, 1, 1.6, 2.5, 4, 6.5, 10, 16, 25] as const;
/** Gaussian edges offered to the giant's front, in units of its σ. */
const EDGES = [0.8, 0.9, 1, 1.1, 1.25] as const;

export interface Rider extends ShapeInSamples {
  /** Centre of the EMG, index. */
  readonly mu: number;
  /** Found by the detector; an absent one is looked for at its place only. */
  readonly present: boolean;
  /** Strong enough to show its own width: weak acids and bases flatten and broaden as they grow. */
  readonly adjustable: boolean;
}

/** Where a rider stands and how much wider it is than its kind. */
interface Place {
  readonly mu: number;
  readonly width: number;
}

/** Rounds of the scan: step of the place in σ and of the width, each over four steps both ways. */
const STEPS = [
  [0.1, 0.04],
  [0.025, 0.01],
] as const;
const OFFSETS = [-4, -3, -2, -1, 0, 1, 2, 3, 4] as const;

export interface RiderFit {
  /** Areas of the riders in signal × samples. */
  readonly areas: readonly number[];
  readonly centres: readonly number[];
  /** Weights of the window's samples in each rider's area. */
  readonly weights: readonly Float64Array[];
  readonly background: Float64Array;
  readonly components: readonly Float64Array[];
  readonly residualSumOfSquares: number;
}

/**
 * Small peaks on the flank of one at least ten times larger: riders of known shape over a non-negative sum of
 * exponential decays (behind the giant) or Gaussian edges (before it) plus a constant.
 *
 * The problem is convex once the riders' places are fixed; each present rider's place is scanned over ±0.5 σ,
 * and the width of a strong one over ±20 %.
 *
 * @param y corrected signal of the window
 * @param riders places relative to the window's first sample
 * @param giant apex of the giant relative to the window, and its σ, samples
 * @source Lawson and Hanson (non-negative least squares; from memory)
 */
export function fitRiders(
  y: Float64Array,
  riders: readonly Rider[],
  giant: { readonly apex: number; readonly sigma: number },
): RiderFit {
  const background = backgroundColumns(y.length, riders[0].sigma, giant);
  const lowest = Math.min(0, ...y);
  const problem = prepare(
    y.map((value) => value - lowest),
    background,
  );
  const places = riders.map((r): Place => ({ mu: r.mu, width: 1 }));
  const improve = (r: number, candidates: readonly Place[]) => {
    let best = { rss: Number.POSITIVE_INFINITY, place: places[r] };
    for (const place of candidates) {
      const { rss } = solve(
        problem,
        riders,
        places.map((p, i) => (i === r ? place : p)),
      );
      if (rss < best.rss) best = { rss, place };
    }
    places[r] = best.place;
  };
  for (const [shift, widening] of STEPS) {
    for (let r = 0; r < riders.length; r++) {
      if (!riders[r].present) continue;
      const { sigma, adjustable } = riders[r];
      const around = places[r];
      improve(
        r,
        OFFSETS.map((k) => ({ ...around, mu: around.mu + shift * k * sigma })),
      );
      const at = places[r];
      if (adjustable)
        improve(
          r,
          OFFSETS.map((k) => ({ ...at, width: at.width * (1 + widening * k) })),
        );
    }
  }
  const { x, columns, rss } = solve(problem, riders, places);
  const first = background.length;
  const curve = new Float64Array(y.length).fill(lowest);
  for (let c = 0; c < first; c++) for (let i = 0; i < y.length; i++) curve[i] += x[c] * columns[c][i];
  return {
    areas: riders.map((_, r) => x[first + r]),
    centres: places.map((p) => p.mu),
    weights: riders.map((_, r) => areaWeights(columns, x, first + r)),
    background: curve,
    components: riders.map((_, r) => columns[first + r].map((value) => value * x[first + r])),
    residualSumOfSquares: rss,
  };
}

function backgroundColumns(
  n: number,
  sigma: number,
  giant: { readonly apex: number; readonly sigma: number },
): Float64Array[] {
  const columns: Float64Array[] = [new Float64Array(n).fill(1)];
  if (giant.apex < n / 2) {
    for (const m of DECAYS)
      columns.push(Float64Array.from({ length: n }, (_, i) => Math.exp(-i / (m * sigma))));
    return columns;
  }
  columns.push(Float64Array.from({ length: n }, (_, i) => i / n));
  for (const m of EDGES) {
    const edge = (i: number) => -0.5 * ((i - giant.apex) / (giant.sigma * m)) ** 2;
    columns.push(Float64Array.from({ length: n }, (_, i) => Math.exp(edge(i) - edge(n - 1))));
  }
  return columns;
}

/** The fixed part of the problem: what the background columns have in common with each other and with the data. */
interface Prepared {
  readonly y: Float64Array;
  readonly background: readonly Float64Array[];
  readonly gram: Float64Array;
  readonly right: Float64Array;
  readonly squares: number;
}

function prepare(y: Float64Array, background: readonly Float64Array[]): Prepared {
  const m = background.length;
  const gram = new Float64Array(m * m);
  for (let r = 0; r < m; r++)
    for (let c = 0; c <= r; c++) gram[r * m + c] = gram[c * m + r] = dot(background[r], background[c]);
  return { y, background, gram, right: Float64Array.from(background, (b) => dot(b, y)), squares: dot(y, y) };
}

function solve(
  { y, background, gram, right, squares }: Prepared,
  riders: readonly Rider[],
  places: readonly Place[],
) {
  const peaks = riders.map((r, k) => {
    const { mu, width } = places[k];
    return Float64Array.from(y, (_, i) => emg(i, mu, width * r.sigma, width * r.tau));
  });
  const columns = [...background, ...peaks];
  const [m, n] = [background.length, columns.length];
  const full = new Float64Array(n * n);
  for (let r = 0; r < m; r++) full.set(gram.subarray(r * m, r * m + m), r * n);
  for (let r = m; r < n; r++)
    for (let c = 0; c <= r; c++) full[r * n + c] = full[c * n + r] = dot(columns[r], columns[c]);
  const g = new Float64Array(n);
  g.set(right);
  for (let r = m; r < n; r++) g[r] = dot(columns[r], y);
  const x = nonNegativeFromNormal(full, g, n);
  let rss = squares;
  for (let r = 0; r < n; r++) {
    if (x[r] === 0) continue;
    rss -= 2 * x[r] * g[r];
    for (let c = 0; c < n; c++) rss += x[r] * x[c] * full[r * n + c];
  }
  return { x, columns, rss };
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

/** Row of the pseudo-inverse over the columns in use (and the rider's own): δA = Σ hᵢ δyᵢ. */
function areaWeights(columns: readonly Float64Array[], x: Float64Array, which: number): Float64Array {
  const own = columns[which];
  const others = columns.filter((_, c) => c !== which && x[c] > 0);
  // Gram–Schmidt: what is left of the rider's column after the others carries all the information on its area.
  const basis: Float64Array[] = [];
  const orthogonalise = (v: Float64Array): Float64Array => {
    const out = v.slice();
    for (let turn = 0; turn < 2; turn++) {
      for (const b of basis) {
        let dot = 0;
        for (let i = 0; i < out.length; i++) dot += out[i] * b[i];
        for (let i = 0; i < out.length; i++) out[i] -= dot * b[i];
      }
    }
    return out;
  };
  for (const other of others) {
    const rest = orthogonalise(other);
    const norm = Math.sqrt(rest.reduce((sum, value) => sum + value * value, 0));
    const full = Math.sqrt(other.reduce((sum, value) => sum + value * value, 0));
    if (norm > 1e-7 * full) basis.push(rest.map((value) => value / norm));
  }
  const left = orthogonalise(own);
  const squares = left.reduce((sum, value) => sum + value * value, 0);
  return left.map((value) => value / squares);
}

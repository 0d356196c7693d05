import { nonNegativeFromNormal } from "../../numeric/nnls-normal.js";
import { emg, emgWithGradient } from "../shape/emg.js";
import { dot, pseudoInverseRow } from "./rider-row.js";
import { type Rider, type RiderFit, type RiderWindow, rootWeights } from "./rider-window.js";

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

/**
 * Riders of known shape over a non-negative sum of given curves: convex once the riders' places are fixed; each present
 * rider's place is scanned over ± 0.5 σ, and the width of a strong one over ± 20 %.
 *
 * @param columns of the background over the stretch; a constant is added
 * @param first first sample of the stretch in the window
 * @param misfit share of the signal that the columns cannot be asked to follow
 * @source Lawson and Hanson (non-negative least squares; from memory)
 */
export function fitOverDictionary(
  window: RiderWindow,
  first: number,
  columns: readonly Float64Array[],
  misfit: number,
): RiderFit {
  const n = columns[0].length;
  const root = rootWeights(window.smooth, first, first + n - 1, window.white, misfit);
  const y = window.y.subarray(first, first + n);
  const background = [new Float64Array(n).fill(1), ...columns];
  let lowest = 0;
  for (const value of y) if (value < lowest) lowest = value;
  const problem = prepare(y, lowest, background, root, first);
  const { riders } = window;
  const places = placed(problem, riders);
  const { x } = solve(problem, riders, places);
  const base = background.length;
  const curve = new Float64Array(n).fill(lowest);
  for (let c = 0; c < base; c++) for (let i = 0; i < n; i++) curve[i] += x[c] * background[c][i];
  const unit = places.map((place, r) => peakColumn(riders[r], place, first, n));
  return {
    first,
    areas: riders.map((_rider, r) => x[base + r]),
    centres: places.map((p) => p.mu),
    widths: places.map((p) => p.width),
    background: curve,
    components: unit.map((column, r) => column.map((value) => value * x[base + r])),
    row: (which) => {
      const used = background.filter((_column, c) => x[c] > 0);
      const moving = riders.flatMap((rider, r) =>
        x[base + r] > 0 ? movingColumns(rider, places[r], first, n) : [],
      );
      const others = unit.filter((_column, r) => r !== which && x[base + r] > 0);
      return pseudoInverseRow([unit[which], ...used, ...others, ...moving], root, 0);
    },
  };
}

/** The best place of each rider, one after the other. */
function placed(problem: Prepared, riders: readonly Rider[]): readonly Place[] {
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
      const { sigma, adjustable, present } = riders[r];
      if (!present) continue;
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
  return places;
}

/** The fixed part of the problem: what the background columns have in common with each other and with the data. */
interface Prepared {
  readonly first: number;
  /** Data above the lowest point and background columns, times the roots of the weights. */
  readonly y: Float64Array;
  readonly background: readonly Float64Array[];
  readonly root: Float64Array;
  readonly gram: Float64Array;
  readonly right: Float64Array;
  readonly squares: number;
}

function prepare(
  y: Float64Array,
  lowest: number,
  columns: readonly Float64Array[],
  root: Float64Array,
  first: number,
): Prepared {
  const m = columns.length;
  const data = y.map((value, i) => (value - lowest) * root[i]);
  const background = columns.map((column) => column.map((value, i) => value * root[i]));
  const gram = new Float64Array(m * m);
  for (let r = 0; r < m; r++)
    for (let c = 0; c <= r; c++) gram[r * m + c] = gram[c * m + r] = dot(background[r], background[c]);
  const right = Float64Array.from(background, (b) => dot(b, data));
  return { first, y: data, background, root, gram, right, squares: dot(data, data) };
}

function solve(problem: Prepared, riders: readonly Rider[], places: readonly Place[]) {
  const { first, y, background, root, gram, right, squares } = problem;
  const peaks = riders.map((rider, r) => {
    const column = peakColumn(rider, places[r], first, y.length);
    for (let i = 0; i < column.length; i++) column[i] *= root[i];
    return column;
  });
  const m = background.length;
  const n = m + peaks.length;
  const full = new Float64Array(n * n);
  const g = new Float64Array(n);
  g.set(right);
  for (let r = 0; r < m; r++) full.set(gram.subarray(r * m, r * m + m), r * n);
  for (let r = m; r < n; r++) {
    const column = peaks[r - m];
    for (let c = 0; c <= r; c++)
      full[r * n + c] = full[c * n + r] = dot(column, c < m ? background[c] : peaks[c - m]);
    g[r] = dot(column, y);
  }
  const x = nonNegativeFromNormal(full, g, n);
  let rss = squares;
  for (let r = 0; r < n; r++) {
    if (x[r] === 0) continue;
    rss -= 2 * x[r] * g[r];
    for (let c = 0; c < n; c++) rss += x[r] * x[c] * full[r * n + c];
  }
  return { x, rss };
}

/** A rider of unit area over a stretch of the window. */
export function peakColumn(rider: Rider, place: Place, first: number, length: number): Float64Array {
  const out = new Float64Array(length);
  const sigma = place.width * rider.sigma;
  const tau = place.width * rider.tau;
  const from = Math.max(0, Math.floor(place.mu - 7 * sigma) - first);
  const to = Math.min(length - 1, Math.ceil(place.mu + 7 * sigma + 25 * tau) - first);
  for (let i = from; i <= to; i++) out[i] = emg(first + i, place.mu, sigma, tau);
  return out;
}

/** What a present rider may do besides growing: move, and widen where it is strong enough to show its width. */
export function movingColumns(rider: Rider, place: Place, first: number, length: number): Float64Array[] {
  if (!rider.present) return [];
  const slope = slopeColumn(rider, place, first, length);
  if (!rider.adjustable) return [slope];
  const wider = peakColumn(rider, { mu: place.mu, width: place.width * (1 + SMALL) }, first, length);
  const plain = peakColumn(rider, place, first, length);
  return [slope, wider.map((value, i) => (value - plain[i]) / SMALL)];
}

/** Relative step of the derivative by width. */
const SMALL = 1e-3;

/** Its derivative by place. */
function slopeColumn(rider: Rider, place: Place, first: number, length: number): Float64Array {
  const gradient = new Float64Array(4);
  return Float64Array.from({ length }, (_, i) => {
    emgWithGradient(first + i, place.mu, place.width * rider.sigma, place.width * rider.tau, gradient);
    return gradient[1];
  });
}

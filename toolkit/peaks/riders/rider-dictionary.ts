import { nonNegativeFromNormal } from "../../numeric/nnls-normal.js";
import { dotBlock } from "../fitting/column-dots.js";
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
  const { x } = solve(
    problem,
    riders.map((rider, r) => standing(problem, rider, places[r])),
  );
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
    doubts: [],
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
  const seen = riders.map((rider, r) => standing(problem, rider, places[r]));
  const improve = (r: number, candidates: readonly Place[]) => {
    let best = { rss: Number.POSITIVE_INFINITY, place: places[r], standing: seen[r] };
    for (const place of candidates) {
      const moved = place === places[r] ? seen[r] : standing(problem, riders[r], place);
      const { rss } = solve(
        problem,
        seen.map((s, i) => (i === r ? moved : s)),
      );
      if (rss < best.rss) best = { rss, place, standing: moved };
    }
    places[r] = best.place;
    seen[r] = best.standing;
  };
  for (const [shift, widening] of STEPS) {
    for (let r = 0; r < riders.length; r++) {
      const { sigma, adjustable, present } = riders[r];
      if (!present) continue;
      const around = places[r];
      improve(
        r,
        OFFSETS.map((k) => (k === 0 ? around : { ...around, mu: around.mu + shift * k * sigma })),
      );
      const at = places[r];
      if (adjustable)
        improve(
          r,
          OFFSETS.map((k) => (k === 0 ? at : { ...at, width: at.width * (1 + widening * k) })),
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
  dotBlock(background, background, 0, data.length - 1, gram, m, 0);
  const right = Float64Array.from(background, (b) => dot(b, data));
  return { first, y: data, background, root, gram, right, squares: dot(data, data) };
}

/** A rider at a place: its column times the roots of the weights, where that is not 0, and its products with the rest. */
interface Standing {
  readonly column: Float64Array;
  readonly from: number;
  readonly to: number;
  /** With the background's columns, then with the data. */
  readonly products: Float64Array;
}

function standing({ first, y, background, root }: Prepared, rider: Rider, place: Place): Standing {
  const column = peakColumn(rider, place, first, y.length);
  const [from, to] = reachOf(rider, place, first, y.length);
  for (let i = from; i <= to; i++) column[i] *= root[i];
  const products = new Float64Array(background.length + 1);
  dotBlock([column], [...background, y], from, to, products, products.length, 0);
  return { column, from, to, products };
}

function solve({ background, gram, right, squares }: Prepared, peaks: readonly Standing[]) {
  const m = background.length;
  const n = m + peaks.length;
  const full = new Float64Array(n * n);
  const g = new Float64Array(n);
  g.set(right);
  for (let r = 0; r < m; r++) full.set(gram.subarray(r * m, r * m + m), r * n);
  for (let r = m; r < n; r++) {
    const own = peaks[r - m];
    for (let c = 0; c < m; c++) full[r * n + c] = full[c * n + r] = own.products[c];
    for (let c = m; c <= r; c++) full[r * n + c] = full[c * n + r] = product(own, peaks[c - m]);
    g[r] = own.products[m];
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

/** Of two riders, where neither is 0. */
function product(a: Standing, b: Standing): number {
  const [from, to] = [Math.max(a.from, b.from), Math.min(a.to, b.to) + 1];
  return from < to ? dot(a.column.subarray(from, to), b.column.subarray(from, to)) : 0;
}

/** A rider of unit area over a stretch of the window. */
export function peakColumn(rider: Rider, place: Place, first: number, length: number): Float64Array {
  const out = new Float64Array(length);
  const [from, to] = reachOf(rider, place, first, length);
  const [sigma, tau] = [place.width * rider.sigma, place.width * rider.tau];
  for (let i = from; i <= to; i++) out[i] = emg(first + i, place.mu, sigma, tau);
  return out;
}

/** First and last sample of the stretch where a rider is not 0; none where it lies outside. */
function reachOf(
  rider: Rider,
  { mu, width }: Place,
  first: number,
  length: number,
): readonly [number, number] {
  const [sigma, tau] = [width * rider.sigma, width * rider.tau];
  const from = Math.max(0, Math.floor(mu - 7 * sigma) - first);
  return [from, Math.min(length - 1, Math.ceil(mu + 7 * sigma + 25 * tau) - first)];
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

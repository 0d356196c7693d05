import { IonbookError } from "../errors.js";

/** A curve through a table of points; beyond the ends of the table it stays at the end values. */
export interface LookUp {
  /** The curve at x. Neighbouring questions cost O(1), others O(log n). */
  at(x: number): number;
  /** The curve at every `x[i]`, into `out`; ascending x cost O(length + n). */
  fill(x: ArrayLike<number>, out: Float64Array): void;
}

/**
 * Straight lines between the points.
 * @param x strictly ascending; @param y one value each
 * @throws IonbookError "unequal-lengths", "too-few-points" (none), "not-ascending", "not-finite"
 */
export function linearLookUp(x: ArrayLike<number>, y: ArrayLike<number>): LookUp {
  const table = copyTable(x, y);
  return lookUpWith(table.x, table.y, (segment, u) => {
    const from = table.y[segment];
    return from + u * (table.y[segment + 1] - from);
  });
}

/**
 * A smooth curve (continuous slope) that rises where the points rise, falls where they fall and has its highest and
 * lowest values at points: cubic pieces whose slope at a point is the harmonic mean of its neighbours' slopes.
 * @param x strictly ascending; @param y one value each
 * @throws IonbookError "unequal-lengths", "too-few-points" (none), "not-ascending", "not-finite"
 * @source F. N. Fritsch, J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300–304
 */
export function monotoneLookUp(x: ArrayLike<number>, y: ArrayLike<number>): LookUp {
  const table = copyTable(x, y);
  const slope = monotoneSlopes(table.x, table.y);
  return lookUpWith(table.x, table.y, (segment, u) => {
    const h = table.x[segment + 1] - table.x[segment];
    const from = table.y[segment];
    const rise = table.y[segment + 1] - from;
    const start = slope[segment] * h;
    const end = slope[segment + 1] * h;
    return from + u * (start + u * (3 * rise - 2 * start - end + u * (start + end - 2 * rise)));
  });
}

/** @param inside the curve in a segment at u = 0 … 1 from its left end */
function lookUpWith(
  x: Float64Array,
  y: Float64Array,
  inside: (segment: number, u: number) => number,
): LookUp {
  const last = x.length - 1;
  // The segment found last: the next question usually falls into it or the one beside it.
  let segment = 0;
  const at = (where: number): number => {
    if (!(where > x[0])) return Number.isNaN(where) ? where : y[0];
    if (where >= x[last]) return y[last];
    if (!(where >= x[segment] && where < x[segment + 1])) {
      const beside = segment + 1;
      segment = beside < last && where >= x[beside] && where < x[beside + 1] ? beside : findSegment(x, where);
    }
    return inside(segment, (where - x[segment]) / (x[segment + 1] - x[segment]));
  };
  return {
    at,
    fill(where, out) {
      if (where.length !== out.length) {
        throw new IonbookError(
          "unequal-lengths",
          `fill got ${where.length} places and room for ${out.length} values`,
        );
      }
      for (let i = 0; i < out.length; i++) out[i] = at(where[i]);
    },
  };
}

/** The k with x[k] ≤ where < x[k + 1]. */
function findSegment(x: Float64Array, where: number): number {
  let low = 0;
  let high = x.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (x[middle] <= where) low = middle;
    else high = middle;
  }
  return low;
}

function monotoneSlopes(x: Float64Array, y: Float64Array): Float64Array {
  const n = x.length;
  const slope = new Float64Array(n);
  if (n < 2) return slope;
  const h = (k: number) => x[k + 1] - x[k];
  const secant = (k: number) => (y[k + 1] - y[k]) / h(k);
  for (let k = 1; k < n - 1; k++) {
    const before = secant(k - 1);
    const after = secant(k);
    if (before * after <= 0) continue;
    const first = 2 * h(k) + h(k - 1);
    const second = h(k) + 2 * h(k - 1);
    slope[k] = (first + second) / (first / before + second / after);
  }
  if (n === 2) slope.fill(secant(0));
  else {
    slope[0] = endSlope(h(0), h(1), secant(0), secant(1));
    slope[n - 1] = endSlope(h(n - 2), h(n - 3), secant(n - 2), secant(n - 3));
  }
  return slope;
}

/** The parabola's slope at an end, cut where it would make the curve overshoot. */
function endSlope(h: number, hNext: number, secant: number, secantNext: number): number {
  const slope = ((2 * h + hNext) * secant - h * secantNext) / (h + hNext);
  if (slope * secant <= 0) return 0;
  return secant * secantNext <= 0 && Math.abs(slope) > 3 * Math.abs(secant) ? 3 * secant : slope;
}

function copyTable(x: ArrayLike<number>, y: ArrayLike<number>): { x: Float64Array; y: Float64Array } {
  if (x.length !== y.length) {
    throw new IonbookError(
      "unequal-lengths",
      `A table needs one y for each x: got ${x.length} x and ${y.length} y`,
    );
  }
  if (x.length === 0) throw new IonbookError("too-few-points", "A table needs at least one point");
  for (let i = 0; i < x.length; i++) {
    if (!Number.isFinite(x[i]) || !Number.isFinite(y[i])) {
      throw new IonbookError("not-finite", `Point ${i + 1} of the table is not a number: (${x[i]}, ${y[i]})`);
    }
    if (i > 0 && !(x[i] > x[i - 1])) {
      throw new IonbookError(
        "not-ascending",
        `The x of a table must ascend: ${x[i - 1]} is followed by ${x[i]} at point ${i + 1}`,
      );
    }
  }
  return { x: Float64Array.from(x), y: Float64Array.from(y) };
}

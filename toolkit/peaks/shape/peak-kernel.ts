/** Times of a window; where they are even, shapes may run along them by recurrences. */
export interface TimeAxis {
  readonly time: Float64Array;
  /** undefined for uneven times. */
  readonly interval: number | undefined;
}

/**
 * How one peak shape of unit area and its derivatives are written along a time axis.
 *
 * Parameters are [μ, σ, …]; the columns written are the shape itself, ∂/∂μ, ∂/∂ln σ and for each further parameter
 * ∂/∂ln p or, where it is `additive`, ∂/∂p.
 */
export interface PeakKernel {
  /** Names of the parameters behind μ and σ. */
  readonly further: readonly { readonly name: "tau" | "q" | "alpha"; readonly additive: boolean }[];
  /**
   * Part of σ in whose steps the product of two columns may be summed as well as reading by reading, to 1e-13 of the sum;
   * undefined where sharper features stand in the way.
   */
  readonly lattice?: number;
  /**
   * Writes the columns from `reach[0]` to `reach[1]` (both included; reach[1] < reach[0] for none), where the shape
   * exceeds about 1e-15 of its height. What lies outside is left as it was.
   */
  write(axis: TimeAxis, parameters: Float64Array, columns: readonly Float64Array[], reach: Int32Array): void;
}

/**
 * Two Gaussians of one σ multiplied hold exp(−ω²σ²/4) at the angular frequency ω: what a sum in steps of σ/2 folds onto
 * frequency 0, from ω = 4π/σ on, is 1e-17 of it, and 1e-13 after two derivatives of each.
 *
 * @source Poisson's sum formula
 */
export const GAUSSIAN_LATTICE = 0.5;

/** Share of an interval by which even times may deviate. */
const EVEN = 1e-9;

export function timeAxis(time: Float64Array): TimeAxis {
  const n = time.length;
  const begin = time[0];
  const interval = (time[n - 1] - begin) / (n - 1);
  const most = EVEN * interval;
  for (let i = 1; i < n; i++) {
    if (!(Math.abs(time[i] - begin - i * interval) <= most)) return { time, interval: undefined };
  }
  return { time, interval: n > 1 && interval > 0 ? interval : undefined };
}

/** First and last index of the times within [from, to], into `reach`. */
export function indicesWithin(
  { time, interval }: TimeAxis,
  from: number,
  to: number,
  reach: Int32Array,
): void {
  const n = time.length;
  if (interval !== undefined) {
    reach[0] = Math.min(Math.max(Math.ceil((from - time[0]) / interval), 0), n);
    reach[1] = Math.max(Math.min(Math.floor((to - time[0]) / interval), n - 1), -1);
    return;
  }
  let a = 0;
  while (a < n && time[a] < from) a++;
  let b = n - 1;
  while (b >= 0 && time[b] > to) b--;
  reach[0] = a;
  reach[1] = b;
}

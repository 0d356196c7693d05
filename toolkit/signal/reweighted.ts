import { createWhittakerSolver } from "../numeric/whittaker.js";
import { blockOf, blocksFor, boundedStiffness, expandBlocks } from "./block-average.js";

/** First and last sample of a stretch, both in it. */
export type IndexStretch = readonly [first: number, last: number];

export interface ReweightedBaseline {
  readonly values: Float64Array;
  readonly weights: Float64Array;
  readonly iterations: number;
  /** True when the weights settled within the tolerance, false when the iteration limit ended the loop. */
  readonly converged: boolean;
}

export interface ReweightOptions {
  /** Relative change of the weights at which the loop ends. @default 1e-3 */
  readonly tolerance?: number;
  /** @default 60 */
  readonly maxIterations?: number;
  /** Stretches without weight whatever stands in them: the baseline bridges them. @default none */
  readonly excluded?: readonly IndexStretch[];
}

/** A baseline of one stiffness that double precision can solve. */
type Settle = (y: Float64Array, lambda: number, excluded: readonly IndexStretch[]) => ReweightedBaseline;

/**
 * The baseline over the samples themselves, or for λ > 10¹² over the means of blocks and interpolated from them. A block
 * that touches an excluded stretch is excluded.
 *
 * @throws RangeError for fewer than 3 points: a fault of the caller inside the toolkit
 */
export function solveStiffly(
  y: Float64Array,
  lambda: number,
  excluded: readonly IndexStretch[],
  settle: Settle,
): ReweightedBaseline {
  const n = y.length;
  if (!(n >= 3)) throw new RangeError(`a baseline needs at least 3 points, got ${n}`);
  const blocks = blocksFor(y, lambda);
  if (!blocks) return settle(y, boundedStiffness(lambda, n), excluded);
  const { means, count } = blocks;
  const coarse = excluded.map(([a, b]) => [blockOf(a, count, n), blockOf(b, count, n)] as const);
  const solved = settle(means, boundedStiffness(blocks.lambda, count), coarse);
  const [values, weights] = [solved.values, solved.weights].map((part) => expandBlocks(part, n));
  return { ...solved, values, weights };
}

/** Writes the weights of the next turn where `counted` is 1; returns true when the loop has ended. */
export type Reweight = (
  weights: Float64Array,
  y: Float64Array,
  z: Float64Array,
  counted: Uint8Array,
  turn: number,
) => boolean;

/** The loop of solve and new weights that every re-weighting method shares; four work arrays besides its result. */
export function settleWeights(
  y: Float64Array,
  lambda: number,
  options: ReweightOptions,
  reweight: Reweight,
): ReweightedBaseline {
  return solveStiffly(y, lambda, options.excluded ?? [], (signal, stiffness, excluded) => {
    const { maxIterations = 60 } = options;
    const n = signal.length;
    const solver = createWhittakerSolver(n);
    const values = new Float64Array(n);
    const counted = countedOutside(excluded, n);
    const weights = Float64Array.from(counted);
    let iterations = 0;
    let converged = false;
    while (iterations < maxIterations && !converged) {
      iterations++;
      solver.solveInto(values, signal, weights, stiffness);
      converged = reweight(weights, signal, values, counted, iterations);
    }
    return { values, weights, iterations, converged };
  });
}

/** 1 for every sample outside the stretches, 0 inside. */
export function countedOutside(stretches: readonly IndexStretch[], length: number): Uint8Array {
  const counted = new Uint8Array(length).fill(1);
  for (const [first, last] of stretches) counted.fill(0, Math.max(first, 0), Math.max(last + 1, 0));
  return counted;
}

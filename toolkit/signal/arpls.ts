import { borrow, giveBack } from "../numeric/scratch.js";
import {
  type ArplsMemory,
  reweightAndEliminate,
  substituteAndMeasure,
  weightsInto,
  weightsSettled,
} from "./arpls-turn.js";
import { ALL_COUNT, type Weighing, weighingBy } from "./logistic-weight.js";
import {
  type IndexStretch,
  type ReweightedBaseline,
  type ReweightOptions,
  solveStiffly,
} from "./reweighted.js";

/**
 * Baseline by asymmetrically re-weighted penalised least squares (arPLS).
 *
 * Alternates the Whittaker solve with weights w = 1/(1 + exp(2(r − (2s − m))/s)), r = y − z, m and s mean and
 * standard deviation (divisor n) of the negative r, until |w − w′|/|w| < tolerance. O(n) per turn, no
 * allocation inside the loop. For λ > 10¹² the record is averaged in blocks, solved, and interpolated.
 *
 * @param y evenly sampled signal, any unit, at least 3 points
 * @param lambda stiffness, see `stiffnessFor`
 * @source S.-J. Baek et al., Analyst 140 (2015) 250 (from memory)
 */
export function arpls(y: Float64Array, lambda: number, options: ReweightOptions = {}): ReweightedBaseline {
  return solveStiffly(y, lambda, options.excluded ?? [], (signal, stiffness, excluded) =>
    settle(signal, stiffness, { ...options, excluded }),
  );
}

function settle(y: Float64Array, stiffness: number, options: ReweightOptions): ReweightedBaseline {
  const { tolerance = 1e-3, maxIterations = 60, excluded = [] } = options;
  const memory = memoryFor(liftedOver(y, excluded));
  liftResiduals(memory, excluded);
  let weighing = ALL_COUNT;
  let iterations = 0;
  let converged = false;
  while (iterations < maxIterations && !converged) {
    iterations++;
    reweightAndEliminate(memory, stiffness, weighing);
    substituteAndMeasure(memory);
    const next = weighingBelow(memory);
    // Nothing below the baseline: no weight would change.
    if (!next) return settled(memory, memory.g, weighing, iterations, true);
    converged = weightsSettled(memory, weighing, next, tolerance);
    weighing = next;
  }
  return settled(memory, memory.r, weighing, iterations, converged);
}

/** Residuals of no more than this share of the record may be rounding. */
const FLAT = 1e-6;

/**
 * The weights of the next turn from the residuals below zero; none where nothing lies below. Where all of it lies equally
 * far below, the limit s → 0 serves, a step at −m.
 */
function weighingBelow({ y, below }: ArplsMemory): Weighing | undefined {
  const [count, sum, squares] = below;
  if (count === 0) return undefined;
  const m = sum / count;
  const s = Math.sqrt(Math.max(squares / count - m * m, 0));
  if (s > 0) return weighingBy(2 / s, 2 * s - m);
  const largest = y.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  return m < -FLAT * largest ? weighingBy(-2 / (Number.EPSILON * m), -m) : undefined;
}

/** An excluded sample is held this many spans of the record above it, so that no turn counts it. */
const LIFT = 100;

function liftedOver(y: Float64Array, excluded: readonly IndexStretch[]): Float64Array {
  if (excluded.length === 0) return y;
  let low = y[0];
  let high = y[0];
  for (const value of y) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const lifted = y.slice();
  for (const [first, last] of excluded) lifted.fill(high + LIFT * (high - low || 1), first, last + 1);
  return lifted;
}

/** In the first turn, which counts everything else, residuals beyond the threshold keep excluded samples out. */
function liftResiduals({ r }: ArplsMemory, excluded: readonly IndexStretch[]): void {
  for (const [first, last] of excluded) r.fill(LIFT, first, last + 1);
}

function memoryFor(y: Float64Array): ArplsMemory {
  const n = y.length;
  return {
    y,
    r: new Float64Array(n),
    g: new Float64Array(n),
    e: borrow(n),
    below: new Float64Array(3),
  };
}

/** The residuals of the last solution become the baseline, where they lie; the weights of `weighed` go beside them. */
function settled(
  { y, r, g, e }: ArplsMemory,
  weighed: Float64Array,
  weighing: Weighing,
  iterations: number,
  converged: boolean,
): ReweightedBaseline {
  weightsInto(g, weighed, weighing);
  for (let i = 0; i < y.length; i++) r[i] = y[i] - r[i];
  giveBack(e);
  return { values: r, weights: g, iterations, converged };
}

/**
 * Stiffness from peak width and sampling rate: λ = (k·σ·f_s)⁴.
 *
 * λ^(1/4) is a length in samples; k = 2 times the widest peak's standard deviation keeps the peaks out of the
 * baseline while waves longer than about 40 σ are followed to 1 %.
 *
 * @param peakWidth standard deviation of the widest peak of interest, min
 * @param interval sampling interval, min
 * @source gain of the unweighted Whittaker filter 1/(1 + (ω/α)⁴), α = λ^(−1/4) (derived)
 */
export function stiffnessFor(peakWidth: number, interval: number, k = 2): number {
  return ((k * peakWidth) / interval) ** 4;
}

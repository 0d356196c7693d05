import { emgKernel } from "../shape/emg-grid.js";
import type { ClusterColumns } from "./cluster-columns.js";
import { eliminate } from "./cluster-problem.js";
import { dot } from "./column-dots.js";
import { columnsFor } from "./column-shelf.js";
import type { PeakStart } from "./emg-cluster-types.js";
import type { FitWindow } from "./fit-starts.js";
import type { ProjectedProblem } from "./projected-problem.js";

/** Furthest that parameters go from their starts: μ in σ, ln σ, ln τ/σ, shift of a run in σ of the first peak. */
const FURTHEST = [1.5, 1.5, 4] as const;
const FURTHEST_SHIFT = 6;
const ROUNDING = 2e-15;

/**
 * Several injections of the same peaks as one problem: μₖ, σₖ and τₖ/σₖ of each peak are shared, run r moves all peaks
 * by the factor 1 + δᵣ (δ = 0 in the first), areas and background are each run's own.
 *
 * Outer parameters are [μ₁…, ln σ₁…, ln τ₁/σ₁…, shifts of runs 2…]. Each run's areas and background are eliminated from
 * its own small block before the blocks are added up.
 */
export class JointProblem implements ProjectedProblem {
  readonly size: number;
  readonly low: Float64Array;
  readonly high: Float64Array;
  readonly rounding: number;
  readonly readings: number;
  readonly runs: readonly ClusterColumns[];
  private theta: Float64Array;

  constructor(
    windows: readonly FitWindow[],
    private readonly starts: readonly PeakStart[],
    backgroundDegree: number,
  ) {
    const peaks = starts.length;
    this.runs = windows.map(({ time, signal }) =>
      columnsFor({ n: time.length, kernel: emgKernel, peaks, backgroundDegree }, { time, y: signal }),
    );
    this.size = 3 * peaks + windows.length - 1;
    this.high = Float64Array.from(
      { length: this.size },
      (_, p) => FURTHEST[Math.floor(p / peaks)] ?? FURTHEST_SHIFT,
    );
    for (let p = 3 * peaks; p < this.size; p++) this.high[p] = FURTHEST_SHIFT;
    this.low = this.high.map((value) => -value);
    this.theta = new Float64Array(this.size);
    this.readings = windows.reduce((sum, { time }) => sum + time.length, 0);
    this.rounding =
      ROUNDING ** 2 * windows.reduce((sum, { signal }) => sum + dot(signal, signal, 0, signal.length - 1), 0);
  }

  /** δ of a run. */
  shiftOf(run: number): number {
    if (run === 0) return 0;
    const [{ mu, sigma }] = this.starts;
    return (this.theta[3 * this.starts.length + run - 1] * sigma) / mu;
  }

  /** μ, σ and τ of peak k in a run. */
  parametersOf(k: number, run: number): Float64Array {
    const peaks = this.starts.length;
    const start = this.starts[k];
    const mu = (start.mu + this.theta[k] * start.sigma) * (1 + this.shiftOf(run));
    const sigma = start.sigma * Math.exp(this.theta[peaks + k]);
    return Float64Array.of(
      mu,
      sigma,
      ((sigma * start.tau) / start.sigma) * Math.exp(this.theta[2 * peaks + k]),
    );
  }

  move(theta: Float64Array, step: Float64Array, next: Float64Array): void {
    for (let p = 0; p < this.size; p++)
      next[p] = Math.min(Math.max(theta[p] + step[p], this.low[p]), this.high[p]);
  }

  evaluate(theta: Float64Array): number {
    this.theta = theta;
    let sum = 0;
    this.runs.forEach((columns, run) => {
      for (let k = 0; k < this.starts.length; k++) columns.place(k, this.parametersOf(k, run));
      sum += columns.solve();
    });
    return sum;
  }

  /** Which parameters (linear ones of the run first, then outer ones) a column of a run belongs to, and how much. */
  private sharesOf(run: number, column: number): readonly (readonly [target: number, factor: number])[] {
    const columns = this.runs[run];
    const { perPeak, linear, coefficients } = columns;
    const peaks = this.starts.length;
    const k = Math.floor(column / perPeak);
    if (k >= peaks) return [[peaks + column - peaks * perPeak, 1]];
    const area = coefficients[k];
    const { sigma } = this.starts[k];
    switch (column - k * perPeak) {
      case 0:
        return [[k, 1]];
      case 1: {
        const own = [linear + k, area * sigma * (1 + this.shiftOf(run))] as const;
        if (run === 0) return [own];
        const unshifted = this.parametersOf(k, run)[0] / (1 + this.shiftOf(run));
        return [
          own,
          [linear + 3 * peaks + run - 1, (area * unshifted * this.starts[0].sigma) / this.starts[0].mu],
        ];
      }
      case 2:
        return [[linear + peaks + k, area]];
      default:
        return [
          [linear + peaks + k, area],
          [linear + 2 * peaks + k, area],
        ];
    }
  }

  /** A run's normal matrix and slope over its linear parameters and all outer ones. */
  blockOf(run: number): {
    readonly matrix: Float64Array;
    readonly slope: Float64Array;
    readonly size: number;
  } {
    const columns = this.runs[run];
    columns.multiply();
    const size = columns.linear + this.size;
    const matrix = new Float64Array(size * size);
    const slope = new Float64Array(size);
    const shares = Array.from({ length: columns.size }, (_, c) => this.sharesOf(run, c));
    shares.forEach((of, a) => {
      for (const [row, factor] of of) {
        slope[row] += factor * columns.facing[a];
        shares.forEach((others, b) => {
          const product = factor * columns.gram[a * columns.size + b];
          for (const [column, other] of others) matrix[row * size + column] += product * other;
        });
      }
    });
    return { matrix, slope, size };
  }

  linearise(normal: Float64Array, slope: Float64Array): void {
    normal.fill(0);
    slope.fill(0);
    const part = new Float64Array(this.size * this.size);
    this.runs.forEach((columns, run) => {
      const block = this.blockOf(run);
      const active: number[] = [];
      for (let c = 0; c < columns.linear; c++) if (columns.coefficients[c] !== 0) active.push(c);
      eliminate(block.matrix, block.size, active, columns.linear, part);
      for (let i = 0; i < part.length; i++) normal[i] += part[i];
      for (let p = 0; p < this.size; p++) slope[p] += block.slope[columns.linear + p];
    });
  }

  /** Joint normal matrix of everything: outer parameters first, then areas and background run by run. */
  whole(): { readonly matrix: Float64Array; readonly size: number } {
    const { linear } = this.runs[0];
    const size = this.size + linear * this.runs.length;
    const matrix = new Float64Array(size * size);
    this.runs.forEach((_, run) => {
      const block = this.blockOf(run);
      const place = (c: number) => (c < linear ? this.size + run * linear + c : c - linear);
      for (let r = 0; r < block.size; r++)
        for (let c = 0; c < block.size; c++)
          matrix[place(r) * size + place(c)] += block.matrix[r * block.size + c];
    });
    return { matrix, size };
  }
}

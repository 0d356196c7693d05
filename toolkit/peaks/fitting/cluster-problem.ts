import type { PeakKernel } from "../shape/peak-kernel.js";
import type { ClusterColumns } from "./cluster-columns.js";
import { dot } from "./column-dots.js";
import { columnsFor } from "./column-shelf.js";
import type { ClusterOptions, FittedPeak, PeakStart } from "./emg-cluster-types.js";
import { coreFactor, tailFactor } from "./moment-steps.js";
import type { ProjectedProblem } from "./projected-problem.js";

/** Furthest that ln σ, ln τ and additive parameters may go from their starts. */
const FURTHEST = { lnSigma: 2.5, lnTau: 9, additive: 30 } as const;
/** τ that a start of exactly zero is given, in σ, so that its logarithm exists. */
const LEAST_TAU_RATIO = 1e-4;
/** A tail of less than this share of σ cannot be told from none. */
const NO_TAIL = 0.005;
/** A record followed to this share of its length is followed as far as numbers go. */
const ROUNDING = 2e-15;

/**
 * The search's view of a cluster in one window. Outer parameters are offsets from the starts: μ of each peak in σ,
 * then ln σ and each further parameter, of all peaks or, shared, once.
 */
export class ClusterProblem implements ProjectedProblem {
  readonly size: number;
  readonly low: Float64Array;
  readonly high: Float64Array;
  readonly rounding: number;
  readonly readings: number;
  readonly columns: ClusterColumns;
  /** For every column: the linear or (behind those) outer parameter it belongs to. */
  readonly targets: Int32Array;
  private readonly begin: readonly Float64Array[];
  private readonly priorWeights: Float64Array;
  /** Parameters of each peak as they are placed. */
  private readonly placed: readonly Float64Array[];
  private readonly factors: Float64Array;
  private readonly jointMatrix: Float64Array;
  private readonly jointSlope: Float64Array;
  private theta: Float64Array;

  constructor(
    time: Float64Array,
    y: Float64Array,
    private readonly starts: readonly PeakStart[],
    private readonly kernel: PeakKernel,
    private readonly options: ClusterOptions,
  ) {
    const { backgroundDegree = -1, fixedShape = false, signed } = options;
    const peaks = starts.length;
    this.columns = columnsFor({ n: time.length, kernel, peaks, backgroundDegree }, { time, y, signed });
    const shapes = 1 + kernel.further.length;
    this.size = fixedShape ? 0 : peaks + shapes * this.perShape();
    this.begin = starts.map((start) => startParameters(start, kernel));
    this.low = new Float64Array(this.size);
    this.high = new Float64Array(this.size);
    this.priorWeights = new Float64Array(this.size);
    this.setLimits();
    this.targets = this.columnTargets();
    this.theta = new Float64Array(this.size);
    this.placed = this.begin.map((own) => own.slice());
    const all = this.columns.linear + this.size;
    this.factors = new Float64Array(this.columns.size);
    this.jointMatrix = new Float64Array(all * all);
    this.jointSlope = new Float64Array(all);
    this.readings = y.length;
    this.rounding = ROUNDING ** 2 * dot(y, y, 0, y.length - 1);
  }

  private perShape(): number {
    return (this.options.sharedShape ?? true) ? 1 : this.starts.length;
  }

  /** Outer parameter that moves parameter j (0 μ, 1 σ, …) of peak k. */
  private outer(k: number, j: number): number {
    const peaks = this.starts.length;
    if (j === 0) return k;
    const per = this.perShape();
    return peaks + (j - 1) * per + (per === 1 ? 0 : k);
  }

  private setLimits(): void {
    if (this.size === 0) return;
    const { priors, noise = 1, maximumShift = 1, held } = this.options;
    const set = (p: number, furthest: number, sd: number | undefined) => {
      this.low[p] = -furthest;
      this.high[p] = furthest;
      this.priorWeights[p] = sd === undefined ? 0 : (noise / sd) ** 2;
    };
    for (let k = 0; k < this.starts.length; k++) {
      set(this.outer(k, 0), held?.[k] ? 0 : maximumShift, priors?.mu);
      set(this.outer(k, 1), FURTHEST.lnSigma, priors?.lnSigma);
      this.kernel.further.forEach(({ additive }, f) => {
        const p = this.outer(k, 2 + f);
        if (additive) set(p, FURTHEST.additive, undefined);
        else {
          set(p, FURTHEST.lnTau, priors?.lnTau);
          const [, sigma, ...further] = this.begin[k];
          this.low[p] = Math.min(0, Math.log((NO_TAIL * sigma) / Math.abs(further[f])));
        }
      });
    }
  }

  private columnTargets(): Int32Array {
    const { columns } = this;
    const out = new Int32Array(columns.size).fill(-1);
    for (let c = 0; c < columns.linear; c++) out[columns.columnOf(c)] = c;
    if (this.size === 0) return out;
    for (let k = 0; k < columns.peaks; k++)
      for (let j = 0; j + 1 < columns.perPeak; j++)
        out[k * columns.perPeak + 1 + j] = columns.linear + this.outer(k, j);
    return out;
  }

  /** What a column is multiplied by to be the derivative by its parameter. */
  columnFactor(column: number): number {
    const { peaks, perPeak, coefficients } = this.columns;
    const k = Math.floor(column / perPeak);
    const j = column - k * perPeak;
    if (k >= peaks || j === 0) return 1;
    return coefficients[k] * (j === 1 ? this.begin[k][1] : 1);
  }

  /** Parameters [μ, σ, …] of peak k at the parameters evaluated last. */
  parametersOf(k: number): Float64Array {
    const out = this.begin[k].slice();
    this.writeParameters(k, out);
    return out;
  }

  /** Peak k at the parameters evaluated last, with its area. */
  peakOf(k: number): FittedPeak {
    const own = this.parametersOf(k);
    const named: Record<string, number> = {};
    this.kernel.further.forEach(({ name }, f) => {
      named[name] = own[2 + f];
    });
    return { tau: 0, mu: own[0], sigma: own[1], ...named, area: this.columns.coefficients[k] };
  }

  private writeParameters(k: number, out: Float64Array): void {
    if (this.size === 0) return;
    const { theta, kernel } = this;
    const begin = this.begin[k];
    out[0] = begin[0] + theta[k] * begin[1];
    out[1] = begin[1] * Math.exp(theta[this.outer(k, 1)]);
    for (let j = 2; j < begin.length; j++) {
      const moved = theta[this.outer(k, j)];
      out[j] = kernel.further[j - 2].additive ? begin[j] + moved : begin[j] * Math.exp(moved);
    }
  }

  /**
   * A step along the moments of tailing peaks rather than along their parameters: third central moment 2τ³, variance
   * σ² + τ² and mean μ + τ change as the step says. These are what the record fixes, while μ, σ and τ of one peak may
   * trade with one another over a long way: steps along that bent valley keep their promise.
   */
  move(theta: Float64Array, step: Float64Array, next: Float64Array): void {
    for (let p = 0; p < next.length; p++) next[p] = this.clamp(p, theta[p] + step[p]);
    if (this.size === 0 || this.kernel.further[0]?.name !== "tau") return;
    const { begin } = this;
    const shapes = this.perShape();
    const members = begin.length / shapes;
    for (let shape = 0; shape < shapes; shape++) {
      const s = this.outer(shape, 1);
      const t = this.outer(shape, 2);
      next[t] = this.clamp(t, theta[t] + Math.log(tailFactor(step[t])));
      const tail = Math.exp(next[t] - theta[t]);
      let [core2, tail2] = [0, 0];
      for (let k = shape; k < shape + members; k++) {
        const tau = begin[k][2] * Math.exp(theta[t]);
        core2 += begin[k][1] ** 2;
        tail2 += tau * tau;
        next[k] = this.clamp(k, theta[k] + step[k] + (tau * (1 + step[t] - tail)) / begin[k][1]);
      }
      const ratio = tail2 / (core2 * Math.exp(2 * theta[s]));
      next[s] = this.clamp(s, theta[s] + Math.log(coreFactor(step[s], step[t], tail, ratio)));
    }
  }

  private clamp(p: number, value: number): number {
    return Math.min(Math.max(value, this.low[p]), this.high[p]);
  }

  /** Whether the centre or shape of peak k stands at a bound that was not set on purpose; a vanished tail is none. */
  atBound(k: number): boolean {
    if (this.size === 0) return false;
    for (let j = 0; j < 2 + this.kernel.further.length; j++) {
      const p = this.outer(k, j);
      if (this.low[p] === this.high[p]) continue;
      if (this.theta[p] >= this.high[p]) return true;
      const vanished = j >= 2 && this.kernel.further[j - 2].name === "tau";
      if (!vanished && this.theta[p] <= this.low[p]) return true;
    }
    return false;
  }

  evaluate(theta: Float64Array): number {
    this.theta = theta;
    for (let k = 0; k < this.placed.length; k++) {
      this.writeParameters(k, this.placed[k]);
      this.columns.place(k, this.placed[k]);
    }
    let sum = this.columns.solve();
    for (let p = 0; p < this.size; p++) sum += this.priorWeights[p] * theta[p] * theta[p];
    return sum;
  }

  /** Joint normal matrix of linear and outer parameters, penalties included, and the slope; written over by the next. */
  joint(): { readonly matrix: Float64Array; readonly slope: Float64Array; readonly size: number } {
    const { columns, targets, factors, jointMatrix: matrix, jointSlope: slope } = this;
    columns.multiply();
    const size = slope.length;
    matrix.fill(0);
    slope.fill(0);
    for (let c = 0; c < columns.size; c++) factors[c] = targets[c] < 0 ? 0 : this.columnFactor(c);
    for (let a = 0; a < columns.size; a++) {
      if (factors[a] === 0) continue;
      slope[targets[a]] += factors[a] * columns.facing[a];
      const row = targets[a] * size;
      for (let b = 0; b < columns.size; b++) {
        if (factors[b] !== 0)
          matrix[row + targets[b]] += factors[a] * factors[b] * columns.gram[a * columns.size + b];
      }
    }
    for (let p = 0; p < this.size; p++) {
      const d = columns.linear + p;
      matrix[d * size + d] += this.priorWeights[p];
      slope[d] -= this.priorWeights[p] * this.theta[p];
    }
    return { matrix, slope, size };
  }

  /** Kaufman's form of the projected problem: the Schur complement of the areas and background in the joint matrix. */
  linearise(normal: Float64Array, slope: Float64Array): void {
    const { columns } = this;
    const { linear, coefficients } = columns;
    const joint = this.joint();
    const active: number[] = [];
    for (let c = 0; c < linear; c++) if (coefficients[c] !== 0) active.push(c);
    eliminate(joint.matrix, joint.size, active, linear, normal);
    for (let p = 0; p < this.size; p++) slope[p] = joint.slope[linear + p];
  }
}

/** Schur complement of the `active` rows in the part behind `linear`, by one elimination step each. */
export function eliminate(
  matrix: Float64Array,
  size: number,
  active: readonly number[],
  linear: number,
  out: Float64Array,
): void {
  for (let step = 0; step < active.length; step++) {
    const column = active[step];
    const pivotRow = column * size;
    const pivot = matrix[pivotRow + column];
    if (!(pivot > 0)) continue;
    for (let r = step + 1; r < active.length; r++)
      subtractRow(matrix, size, active[r], column, pivot, active, step + 1, linear);
    for (let r = linear; r < size; r++) subtractRow(matrix, size, r, column, pivot, active, step + 1, linear);
  }
  const outer = size - linear;
  for (let r = 0; r < outer; r++)
    for (let c = 0; c < outer; c++) out[r * outer + c] = matrix[(linear + r) * size + linear + c];
}

function subtractRow(
  matrix: Float64Array,
  size: number,
  r: number,
  column: number,
  pivot: number,
  active: readonly number[],
  next: number,
  linear: number,
): void {
  const row = r * size;
  const pivotRow = column * size;
  const factor = matrix[row + column] / pivot;
  if (factor === 0) return;
  for (let k = next; k < active.length; k++) matrix[row + active[k]] -= factor * matrix[pivotRow + active[k]];
  for (let c = linear; c < size; c++) matrix[row + c] -= factor * matrix[pivotRow + c];
}

function startParameters(start: PeakStart, kernel: PeakKernel): Float64Array {
  const tau = start.tau === 0 ? LEAST_TAU_RATIO * start.sigma : start.tau;
  const further = kernel.further.map(({ name }) => (name === "tau" ? tau : (start[name] ?? 0)));
  return Float64Array.of(start.mu, start.sigma, ...further);
}

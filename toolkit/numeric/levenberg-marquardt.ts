import type { Bound } from "./difference-jacobian.js";
import { applyQTransposed, factorQr, solveUpper } from "./householder.js";
import { type LinearPicture, trustedStep, weightedLength } from "./trusted-step.js";

/** Least squares in n parameters: what the search asks for. */
export interface CurveProblem {
  readonly points: number;
  /** ‖y/s‖. */
  readonly dataLength: number;
  /** r = (y − model)/s at these parameters, into `out`; the sum of squares, or NaN where the model is undefined. */
  residuals(parameters: Float64Array, out: Float64Array): number;
  /** ∂(model/s)/∂parameters at the parameters asked for last, row-major points × n; `fine` near the end. */
  jacobian(parameters: Float64Array, out: Float64Array, fine: boolean): void;
}

export interface SearchResult {
  readonly parameters: Float64Array;
  readonly sumOfSquares: number;
  /** At the final parameters, row-major points × n. */
  readonly jacobian: Float64Array;
  /** Parameters that are not held by a bound. */
  readonly free: readonly number[];
  readonly converged: boolean;
  readonly reason: string;
  readonly iterations: number;
}

const EPSILON = 2 ** -52;
/** A Gauss–Newton step that can lower the sum of squares by less than this part has arrived: it is shorter than 1e-7·√dof of u. */
const ARRIVED = 1e-14;
/** The polishing steps end here: parameters within 1e-10 of their standard errors. */
const POLISHED = 1e-20;
const POLISHING_STEPS = 50;
/** Diagonal of R below which a unit column counts as dependent on those before it. */
export const DEPENDENT = 1e-14;
/** The first steps may be this many times as long as the start itself, ‖D·start‖. */
const FIRST_RADIUS = 1;
/** A step is taken when it gains at least this part of what the linear picture promised. */
const LEAST_GAIN = 1e-4;

/**
 * Levenberg–Marquardt: Gauss–Newton steps kept within a region in which the linear picture is trusted; the region
 * shrinks when a step disappoints and grows when it keeps its promise, each parameter measured by its largest effect
 * so far. At the end undamped steps with fine derivatives polish the parameters beyond what the sum of squares
 * resolves. Bounds: steps are cut at them, and a parameter at a bound that the fit pushes outwards is held.
 *
 * @source J. J. Moré, "The Levenberg–Marquardt algorithm: implementation and theory", Lecture Notes in Mathematics
 *   630 (1978) 105–116, doi:10.1007/BFb0067700
 */
export class LevenbergMarquardt {
  private readonly n: number;
  private parameters: Float64Array;
  private residual: Float64Array;
  private readonly trialResidual: Float64Array;
  private readonly jacobian: Float64Array;
  private readonly largest: Float64Array;
  private sumOfSquares: number;
  private free: number[] = [];
  /** Steps are trusted up to this ‖D·δ‖, D the largest effect of each parameter so far. */
  private radius = Infinity;
  private damping = 0;

  constructor(
    private readonly problem: CurveProblem,
    start: Float64Array,
    private readonly bounds: readonly Bound[] | undefined,
  ) {
    this.n = start.length;
    this.parameters = start.slice();
    this.residual = new Float64Array(problem.points);
    this.trialResidual = new Float64Array(problem.points);
    this.jacobian = new Float64Array(problem.points * this.n);
    this.largest = new Float64Array(this.n);
    this.sumOfSquares = problem.residuals(this.parameters, this.residual);
  }

  run(maxIterations: number): SearchResult {
    let fine = false;
    for (let iteration = 1; iteration <= maxIterations; iteration++) {
      const linear = this.linearise(fine);
      if (linear.reachable <= ARRIVED * this.sumOfSquares) {
        return this.finish(iteration, true, "no change of the parameters lowers the sum of squares any more");
      }
      if (this.stepDown(linear)) continue;
      if (linear.reachable <= this.resolution()) {
        return this.finish(iteration, true, "the sum of squares no longer falls within rounding");
      }
      if (fine) return this.finish(iteration, false, "no step lowers the sum of squares, yet it has a slope");
      // Coarse derivatives may point a little wrong in a long narrow valley: look once more.
      fine = true;
      this.radius = Infinity;
    }
    return this.finish(maxIterations, false, `not settled after ${maxIterations} iterations`);
  }

  /** Changes of the sum of squares below this are rounding errors of readings and model. */
  private resolution(): number {
    return 16 * EPSILON * (this.problem.dataLength * Math.sqrt(this.sumOfSquares) + this.sumOfSquares);
  }

  /** Derivatives, free parameters, and the QR picture of the problem at the present parameters. */
  private linearise(fine: boolean): LinearPicture {
    const { problem, jacobian, n } = this;
    problem.jacobian(this.parameters, jacobian, fine);
    this.free = this.freeParameters();
    const columns = this.free.length;
    const chosen = new Float64Array(problem.points * columns);
    for (let i = 0; i < problem.points; i++) {
      for (let k = 0; k < columns; k++) chosen[i * columns + k] = jacobian[i * n + this.free[k]];
    }
    const qr = factorQr(chosen, problem.points, columns);
    for (let k = 0; k < columns; k++) {
      this.largest[this.free[k]] = Math.max(this.largest[this.free[k]], qr.lengths[k]);
    }
    const facing = this.residual.slice();
    applyQTransposed(qr, facing);
    let reachable = 0;
    for (let k = 0; k < columns; k++) {
      // A column that depends on others has no direction of its own to go down.
      if (Math.abs(qr.diagonal[k]) > DEPENDENT) reachable += facing[k] * facing[k];
    }
    return { qr, facing, reachable };
  }

  /** Shrinks the trusted region until a step in it lowers the sum of squares; false when none does. */
  private stepDown(linear: LinearPicture): boolean {
    const weights = Float64Array.from(this.free, (j) => this.largest[j] || 1);
    if (this.radius === Infinity) {
      const present = Float64Array.from(this.free, (j) => this.parameters[j]);
      this.radius = FIRST_RADIUS * weightedLength(present, weights) || FIRST_RADIUS;
    }
    for (;;) {
      const { step, damping } = trustedStep(linear, weights, this.radius, this.damping);
      // A parameter at 0 can be moved by ever smaller steps: the end is where the radius has no number left.
      if (!(this.radius > 0 && step.every(Number.isFinite))) return this.trustAnew();
      this.damping = damping;
      const trial = this.moved(step);
      if (trial.every((value, j) => value === this.parameters[j])) return false;
      const sum = this.problem.residuals(trial, this.trialResidual);
      const share = (this.sumOfSquares - sum) / this.predictedFall(trial);
      // Within rounding a promised rise may come true: no gain, or the same step would be tried for ever.
      const gain = sum < this.sumOfSquares ? share : Math.min(share, 0);
      this.resize(gain, sum, weightedLength(step, weights));
      if (gain > LEAST_GAIN && sum < this.sumOfSquares) {
        this.accept(trial, sum);
        return true;
      }
    }
  }

  /** No step is left: the next search begins without a radius and without damping. */
  private trustAnew(): false {
    this.radius = Infinity;
    this.damping = 0;
    return false;
  }

  /** Trusts less after a step that gained under a quarter of the promise, more after one that kept it. */
  private resize(gain: number, sum: number, length: number): void {
    if (!(gain > 0.25)) {
      // Between a tenth and half, by the parabola through what was seen; a tenth after a leap into the void.
      const rise = sum / this.sumOfSquares - 1;
      const shrink = rise < 99 ? Math.max(0.1, Math.min(0.5, 1 / (2 * (1 - Math.min(gain, 0))))) : 0.1;
      this.radius = shrink * Math.min(this.radius, 10 * length);
      this.damping /= shrink;
    } else if (this.damping === 0 || gain >= 0.75) {
      this.radius = 2 * length;
      this.damping /= 2;
    }
  }

  /** ‖r‖² − ‖r − J·(trial − parameters)‖². */
  private predictedFall(trial: Float64Array): number {
    const { n, parameters, jacobian, residual } = this;
    let fall = 0;
    for (let i = 0; i < residual.length; i++) {
      let change = 0;
      for (let j = 0; j < n; j++) change += jacobian[i * n + j] * (trial[j] - parameters[j]);
      fall += change * (2 * residual[i] - change);
    }
    return fall;
  }

  private accept(trial: Float64Array, sumOfSquares: number): void {
    this.parameters = trial;
    this.residual.set(this.trialResidual);
    this.sumOfSquares = sumOfSquares;
  }

  /**
   * Undamped steps with fine derivatives, as long as each leaves less to gain than the one before; where the model
   * misfits badly they may not, and the last step is taken back.
   */
  private finish(iterations: number, converged: boolean, reason: string): SearchResult {
    let linear = this.linearise(true);
    for (
      let i = 0;
      converged && i < POLISHING_STEPS && linear.reachable > POLISHED * this.sumOfSquares;
      i++
    ) {
      const before = {
        parameters: this.parameters,
        sumOfSquares: this.sumOfSquares,
        reachable: linear.reachable,
      };
      const trial = this.moved(solveUpper(linear.qr, linear.facing));
      const sum = this.problem.residuals(trial, this.trialResidual);
      if (!(sum <= this.sumOfSquares + this.resolution())) break;
      this.accept(trial, sum);
      linear = this.linearise(true);
      if (linear.reachable < 0.9 * before.reachable) continue;
      if (linear.reachable > before.reachable) this.takeBack(before);
      break;
    }
    const { parameters, sumOfSquares, jacobian, free } = this;
    return { parameters, sumOfSquares, jacobian, free, converged, reason, iterations };
  }

  private takeBack(before: { parameters: Float64Array; sumOfSquares: number }): void {
    this.parameters = before.parameters;
    this.sumOfSquares = before.sumOfSquares;
    this.problem.residuals(this.parameters, this.residual);
    this.linearise(true);
  }

  private moved(step: Float64Array): Float64Array {
    const trial = this.parameters.slice();
    for (let k = 0; k < step.length; k++) {
      const j = this.free[k];
      const [low, high] = this.bounds?.[j] ?? [-Infinity, Infinity];
      trial[j] = Math.min(high, Math.max(low, trial[j] + step[k]));
    }
    return trial;
  }

  private freeParameters(): number[] {
    const { n, jacobian, residual, parameters } = this;
    const free: number[] = [];
    for (let j = 0; j < n; j++) {
      const [low, high] = this.bounds?.[j] ?? [-Infinity, Infinity];
      let downhill = 0;
      for (let i = 0; i < residual.length; i++) downhill += jacobian[i * n + j] * residual[i];
      const held = (parameters[j] <= low && downhill <= 0) || (parameters[j] >= high && downhill >= 0);
      if (!held) free.push(j);
    }
    return free;
  }
}

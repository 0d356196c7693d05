import { invertSymmetric, solveSymmetric } from "../numeric/symmetric-system.js";
import { emg, emgWithGradient } from "./emg.js";
import type { ClusterFit, ClusterOptions, PeakStart, ShapePriors } from "./emg-cluster-types.js";

export type { ClusterFit, ClusterOptions, FittedPeak, PeakStart, ShapePriors } from "./emg-cluster-types.js";

/** Peaks are evaluated where they exceed about 1e-15 of their height. */
const REACH_SIGMA = 8.3;
const REACH_TAU = 34;
/** Penalty that keeps a held peak in place, in σ. */
const HELD = 1e-6;
/** τ that a start of exactly zero is given, in σ, so that its logarithm exists. */
const LEAST_TAU_RATIO = 1e-4;

/**
 * Least-squares fit of overlapping exponentially modified Gaussians by variable projection.
 *
 * Areas (≥ 0) and background are linear and solved exactly at every step; the outer parameters (μ, ln σ,
 * ln τ, own or shared) move by Levenberg–Marquardt steps on the projected problem (Kaufman's form: the Schur
 * complement of the joint normal matrix). Penalties enter as pseudo-observations. One evaluation costs
 * O(points within reach of each peak).
 *
 * @param time ascending, any unit
 * @param y baseline-corrected signal
 * @source Golub and Pereyra 1973; Kaufman 1975 (both from memory)
 */
export function fitEmgCluster(
  time: Float64Array,
  y: Float64Array,
  starts: readonly PeakStart[],
  options: ClusterOptions = {},
): ClusterFit {
  const problem = new ClusterProblem(time, y, starts, options);
  return problem.solve();
}

/**
 * The work of one fit. One class over 300 lines on purpose: every step reads and fills the same arrays, which are
 * allocated once; split up, they would only be handed around.
 */
class ClusterProblem {
  private readonly n: number;
  private readonly peaks: number;
  private readonly linear: number;
  private readonly outer: number;
  private readonly size: number;
  private readonly shared: boolean;
  private readonly noise: number;
  private readonly middle: number;
  private readonly half: number;
  /** Column-wise basis: areas, background, outer derivatives, each over the window. */
  private readonly columns: Float64Array[];
  private readonly first: Int32Array;
  private readonly last: Int32Array;
  private readonly residual: Float64Array;
  private readonly coefficients: Float64Array;
  private readonly priorSd: Float64Array;

  constructor(
    private readonly time: Float64Array,
    private readonly y: Float64Array,
    private readonly starts: readonly PeakStart[],
    private readonly options: ClusterOptions,
  ) {
    const { sharedShape = true, noise = 1, backgroundDegree = -1, priors, fixedShape = false } = options;
    this.n = time.length;
    this.peaks = starts.length;
    this.linear = this.peaks + backgroundDegree + 1;
    this.shared = sharedShape;
    this.outer = fixedShape ? 0 : this.peaks + (sharedShape ? 2 : 2 * this.peaks);
    this.size = this.linear + this.outer;
    this.noise = noise;
    this.middle = 0.5 * (time[0] + time[this.n - 1]);
    this.half = Math.max(0.5 * (time[this.n - 1] - time[0]), Number.MIN_VALUE);
    this.columns = Array.from({ length: this.size }, () => new Float64Array(this.n));
    this.first = new Int32Array(this.size);
    this.last = new Int32Array(this.size).fill(this.n - 1);
    this.residual = new Float64Array(this.n);
    this.coefficients = new Float64Array(this.linear);
    this.priorSd = new Float64Array(this.outer).fill(Number.POSITIVE_INFINITY);
    if (priors) this.setPriors(priors);
    this.setBackground();
  }

  private setPriors(priors: ShapePriors): void {
    const per = this.shared ? 1 : this.peaks;
    for (let p = 0; p < this.outer; p++) {
      this.priorSd[p] = p < this.peaks ? priors.mu : p < this.peaks + per ? priors.lnSigma : priors.lnTau;
    }
    this.options.held?.forEach((held, k) => {
      if (held && k < this.outer) this.priorSd[k] = HELD;
    });
  }

  private setBackground(): void {
    for (let c = this.peaks; c < this.linear; c++) {
      const power = c - this.peaks;
      for (let i = 0; i < this.n; i++)
        this.columns[c][i] = power === 0 ? 1 : (this.time[i] - this.middle) / this.half;
    }
  }

  /** Outer parameters are offsets from the start: μ in σ, ln σ, ln τ. */
  private shapeOf(k: number, theta: Float64Array): PeakStart {
    const s = this.starts[k];
    const tau0 = s.tau === 0 ? LEAST_TAU_RATIO * s.sigma : s.tau;
    if (this.outer === 0) return { mu: s.mu, sigma: s.sigma, tau: tau0 };
    const per = this.shared ? 0 : k;
    const stride = this.shared ? 1 : this.peaks;
    return {
      mu: s.mu + theta[k] * s.sigma,
      sigma: s.sigma * Math.exp(theta[this.peaks + per]),
      tau: tau0 * Math.exp(theta[this.peaks + stride + per]),
    };
  }

  /** Fills the basis at θ, solves the linear part, and returns the penalised sum of squares. */
  private evaluate(theta: Float64Array): number {
    for (let k = 0; k < this.peaks; k++) this.evaluatePeak(k, this.shapeOf(k, theta));
    this.solveLinear();
    if (this.outer > 0) this.assembleOuter();
    let sum = 0;
    for (let i = 0; i < this.n; i++) sum += this.residual[i] * this.residual[i];
    return sum + this.penalty(theta);
  }

  private penalty(theta: Float64Array): number {
    let sum = 0;
    for (let p = 0; p < this.outer; p++) sum += (theta[p] / this.priorSd[p]) ** 2;
    return sum * this.noise * this.noise;
  }

  private readonly gradient = new Float64Array(4);
  private raw: Float64Array[] = [];

  private evaluatePeak(k: number, shape: PeakStart): void {
    if (this.raw.length === 0)
      this.raw = Array.from({ length: 3 * this.peaks }, () => new Float64Array(this.n));
    const tail = REACH_TAU * shape.tau;
    const from = shape.mu - REACH_SIGMA * shape.sigma + Math.min(tail, 0);
    const to = shape.mu + REACH_SIGMA * shape.sigma + Math.max(tail, 0);
    let a = 0;
    while (a < this.n - 1 && this.time[a] < from) a++;
    let b = this.n - 1;
    while (b > 0 && this.time[b] > to) b--;
    const f = this.columns[k];
    const [dMu, dSigma, dTau] = [this.raw[3 * k], this.raw[3 * k + 1], this.raw[3 * k + 2]];
    f.fill(0);
    dMu.fill(0);
    dSigma.fill(0);
    dTau.fill(0);
    const s0 = this.starts[k].sigma;
    for (let i = a; i <= b; i++) {
      if (this.outer === 0) {
        f[i] = emg(this.time[i], shape.mu, shape.sigma, shape.tau);
        continue;
      }
      emgWithGradient(this.time[i], shape.mu, shape.sigma, shape.tau, this.gradient);
      f[i] = this.gradient[0];
      dMu[i] = this.gradient[1] * s0;
      dSigma[i] = this.gradient[2] * shape.sigma;
      dTau[i] = this.gradient[3] * shape.tau;
    }
    this.first[k] = Math.min(a, b);
    this.last[k] = Math.max(a, b);
  }

  /** Outer columns: derivative of the model by each outer parameter at the current areas. */
  private assembleOuter(): void {
    for (let p = 0; p < this.outer; p++) {
      const column = this.columns[this.linear + p];
      column.fill(0);
      let a = this.n - 1;
      let b = 0;
      for (let k = 0; k < this.peaks; k++) {
        const which = this.whichDerivative(p, k);
        if (which < 0) continue;
        const source = this.raw[3 * k + which];
        const area = this.coefficients[k];
        for (let i = this.first[k]; i <= this.last[k]; i++) column[i] += area * source[i];
        a = Math.min(a, this.first[k]);
        b = Math.max(b, this.last[k]);
      }
      this.first[this.linear + p] = Math.min(a, b);
      this.last[this.linear + p] = Math.max(a, b);
    }
  }

  /** Which raw derivative (0 μ, 1 σ, 2 τ) of peak k the outer parameter p moves; −1 for none. */
  private whichDerivative(p: number, k: number): number {
    if (p < this.peaks) return p === k ? 0 : -1;
    const q = p - this.peaks;
    if (this.shared) return 1 + q;
    return q % this.peaks === k ? 1 + Math.floor(q / this.peaks) : -1;
  }

  private dot(a: number, b: number): number {
    const from = Math.max(this.first[a], this.first[b]);
    const to = Math.min(this.last[a], this.last[b]);
    const [x, z] = [this.columns[a], this.columns[b]];
    let sum = 0;
    for (let i = from; i <= to; i++) sum += x[i] * z[i];
    return sum;
  }

  /** Areas by least squares; those that come out negative are set to zero and the rest solved again. */
  private solveLinear(): void {
    const m = this.linear;
    const { signed } = this.options;
    const active = Array.from({ length: m }, (_, c) => c);
    this.coefficients.fill(0);
    for (;;) {
      const k = active.length;
      const normal = new Float64Array(k * k);
      const right = new Float64Array(k);
      for (let r = 0; r < k; r++) {
        for (let c = 0; c <= r; c++) normal[r * k + c] = normal[c * k + r] = this.dot(active[r], active[c]);
        const column = this.columns[active[r]];
        for (let i = this.first[active[r]]; i <= this.last[active[r]]; i++) right[r] += column[i] * this.y[i];
      }
      const solution = solveSymmetric(normal, right, k);
      let worst = -1;
      for (let r = 0; r < k; r++) {
        if (
          active[r] < this.peaks &&
          !signed?.[active[r]] &&
          solution[r] < 0 &&
          (worst < 0 || solution[r] < solution[worst])
        )
          worst = r;
      }
      if (worst < 0) {
        for (let r = 0; r < k; r++) this.coefficients[active[r]] = solution[r];
        break;
      }
      active.splice(worst, 1);
      if (active.length === 0) break;
    }
    this.residual.set(this.y);
    for (let c = 0; c < m; c++) {
      const value = this.coefficients[c];
      if (value === 0) continue;
      const column = this.columns[c];
      for (let i = this.first[c]; i <= this.last[c]; i++) this.residual[i] -= value * column[i];
    }
  }

  /** Joint normal matrix of all columns, penalties on the outer diagonal. */
  private normalMatrix(): Float64Array {
    const s = this.size;
    const out = new Float64Array(s * s);
    for (let r = 0; r < s; r++) {
      for (let c = 0; c <= r; c++) out[r * s + c] = out[c * s + r] = this.dot(r, c);
    }
    for (let p = 0; p < this.outer; p++) {
      const d = this.linear + p;
      out[d * s + d] += (this.noise / this.priorSd[p]) ** 2;
    }
    return out;
  }

  private step(theta: Float64Array, damping: number): Float64Array | undefined {
    const s = this.size;
    const normal = this.normalMatrix();
    const right = new Float64Array(s);
    for (let p = 0; p < this.outer; p++) {
      const d = this.linear + p;
      const column = this.columns[d];
      let g = 0;
      for (let i = this.first[d]; i <= this.last[d]; i++) g += column[i] * this.residual[i];
      right[d] = g - theta[p] * (this.noise / this.priorSd[p]) ** 2;
      normal[d * s + d] *= 1 + damping;
      normal[d * s + d] += 1e-300;
    }
    const delta = solveSymmetric(normal, right, s);
    const out = delta.subarray(this.linear);
    for (const value of out) if (!Number.isFinite(value)) return undefined;
    for (let p = 0; p < this.outer; p++) out[p] = Math.min(Math.max(out[p], -0.7), 0.7);
    return out;
  }

  solve(): ClusterFit {
    const { maxIterations = 60 } = this.options;
    let theta = new Float64Array(this.outer);
    let cost = this.evaluate(theta);
    let damping = 1e-3;
    let iterations = 0;
    let reason = this.outer === 0 ? "areas solved directly" : "iteration limit";
    let converged = this.outer === 0;
    while (!converged && iterations < maxIterations) {
      iterations++;
      const delta = this.step(theta, damping);
      if (!delta) {
        reason = "normal matrix singular";
        break;
      }
      const next = theta.map((value, p) => value + delta[p]);
      const nextCost = this.evaluate(next);
      if (nextCost <= cost) {
        const gain = (cost - nextCost) / Math.max(cost, Number.MIN_VALUE);
        const largest = delta.reduce((a, b) => Math.max(a, Math.abs(b)), 0);
        theta = next;
        cost = nextCost;
        damping = Math.max(damping / 8, 1e-12);
        if (gain < 1e-10 || largest < 1e-8) {
          converged = true;
          reason = gain < 1e-10 ? "sum of squares settled" : "parameters settled";
        }
      } else {
        damping *= 6;
        cost = this.evaluate(theta);
        if (damping > 1e10) {
          converged = true;
          reason = "no step improves the fit";
        }
      }
    }
    return this.result(theta, iterations, converged, reason);
  }

  private result(theta: Float64Array, iterations: number, converged: boolean, reason: string): ClusterFit {
    const s = this.size;
    const inverse = invertSymmetric(this.normalMatrix(), s);
    let rss = 0;
    for (let i = 0; i < this.n; i++) rss += this.residual[i] * this.residual[i];
    const columns = this.columns;
    const coefficients = this.coefficients;
    const n = this.n;
    return {
      peaks: this.starts.map((_, k) => ({ ...this.shapeOf(k, theta), area: coefficients[k] })),
      background: Array.from(coefficients.subarray(this.peaks)),
      residualSumOfSquares: rss,
      dof: Math.max(n - s, 1),
      iterations,
      converged,
      reason,
      unitCovariance: inverse,
      parameterCount: s,
      areaWeights(k) {
        const out = new Float64Array(n);
        for (let c = 0; c < s; c++) {
          const factor = inverse[k * s + c];
          if (factor !== 0) for (let i = 0; i < n; i++) out[i] += factor * columns[c][i];
        }
        return out;
      },
      component(k) {
        return columns[k].map((value) => value * coefficients[k]);
      },
    };
  }
}
